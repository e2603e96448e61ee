using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Events;
using BackyardSentinel.Live;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Web.Access;
using BackyardSentinel.Web.SetUp;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>The hosted service: watches one garden until the host stops.</summary>
public sealed class WatchService(
    GardenFile garden,
    BrokerOptions broker,
    bool clockFromReadings,
    TimeProvider time,
    ILogger log,
    Action<string, SiteWatch, SentinelEvent>? onEvent,
    Action<AlertMessage>? onAlert = null,
    Action<Invitation>? onPage = null,
    Func<CancellationToken, Task<SetUpLook>>? examine = null
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
                ClockFromReadings = clockFromReadings,
                KeepYears = clockFromReadings ? null : garden.Store.KeepYears,
                SeasonStart = clockFromReadings ? null : JudgedSeasons.StartFor(garden, time.GetUtcNow()),
            },
            time,
            log,
            onEvent,
            stoppingToken,
            garden,
            new ServiceOptions(clockFromReadings, onAlert, onPage, examine));
}
