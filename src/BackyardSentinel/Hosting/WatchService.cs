using BackyardSentinel.Configuration;
using BackyardSentinel.Events;
using BackyardSentinel.Live;
using BackyardSentinel.Mqtt;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>The hosted service: watches one garden until the host stops.</summary>
public sealed class WatchService(
    GardenFile garden,
    BrokerOptions broker,
    TimeProvider time,
    ILogger log,
    Action<string, SiteWatch, SentinelEvent>? onEvent,
    ServiceOptions services
) : BackgroundService
{
    /// <inheritdoc/>
    protected override Task ExecuteAsync(CancellationToken stoppingToken) =>
        SentinelHost.RunAsync(
            garden.Store.Path,
            garden.Sites,
            garden.Series,
            broker,
            new LoopOptions
            {
                CommitWindow = garden.Store.CommitWindow,
                ClockFromReadings = services.ClockFromReadings,
                KeepYears = services.ClockFromReadings ? null : garden.Store.KeepYears,
                SeasonStart = services.ClockFromReadings ? null : JudgedSeasons.StartFor(garden, time.GetUtcNow()),
            },
            time,
            log,
            onEvent,
            stoppingToken,
            garden,
            services);
}
