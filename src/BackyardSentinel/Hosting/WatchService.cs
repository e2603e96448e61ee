using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Events;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>The hosted service: watches one garden until the host stops.</summary>
public sealed class WatchService(
    GardenFile garden, BrokerOptions broker, bool clockFromReadings, TimeProvider time, ILogger log, Action<string, SiteWatch, SentinelEvent>? onEvent, Action<AlertMessage>? onAlert = null)
    : BackgroundService
{
    /// <inheritdoc/>
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => SentinelHost.RunAsync(
        garden.Store.Path,
        [.. garden.Sites.Select(site => site.ToSite(garden.Products))],
        GardenWiring.Series(garden),
        broker,
        new LoopOptions { CommitWindow = garden.Store.CommitWindow, ClockFromReadings = clockFromReadings, SeasonStart = clockFromReadings ? null : LastSeasonStart() },
        time,
        log,
        onEvent,
        stoppingToken,
        garden,
        new ServiceOptions(clockFromReadings, onAlert));

    /// <summary>
    /// Start of the season before this one: two seasons are enough to judge this one, with the year behind it for the
    /// expected bud swell, and a start does not take longer with every year.
    /// </summary>
    private DateTimeOffset LastSeasonStart()
    {
        var site = garden.Sites[0];
        var season = new SeasonCalendar(site.LatitudeDeg ?? 0).SeasonOf(LocalDay.Of(time.GetUtcNow(), site.Zone))!.Value;
        return LocalDay.StartOf(season.Start.AddYears(-1), site.Zone);
    }
}
