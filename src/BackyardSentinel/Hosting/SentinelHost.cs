using BackyardSentinel.Configuration;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Guards;
using BackyardSentinel.Live;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using Microsoft.Extensions.Hosting.Systemd;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>Puts store, map, loop and link together and runs them until asked to stop.</summary>
public static class SentinelHost
{
    /// <summary>Runs the service. Returns after a stop with everything in hand committed and acknowledged.</summary>
    /// <param name="storePath">The store's file.</param>
    /// <param name="sites">The sites to watch.</param>
    /// <param name="series">Their series.</param>
    /// <param name="broker">The broker.</param>
    /// <param name="options">Batching and clock; its base topic is the broker's.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="onEvent">Told of each new event once it is stored.</param>
    /// <param name="ct">Asks it to stop.</param>
    /// <param name="garden">The garden whose journal, alerts and forecast go with it; <c>null</c>: sensors only.</param>
    /// <param name="services">How these run.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static async Task RunAsync(
        string storePath, IReadOnlyList<Site> sites, IReadOnlyList<SeriesMap> series, BrokerOptions broker, LoopOptions options,
        TimeProvider time, ILogger log, Action<string, SiteWatch, SentinelEvent>? onEvent, CancellationToken ct,
        GardenFile? garden = null, ServiceOptions? services = null)
    {
        if (!File.Exists(storePath))
            log.Information("There is no store {Store} yet, so a new one begins.", Path.GetFullPath(storePath));
        using var alone = StoreLock.Hold(storePath);
        MqttLink? link = null;
        using var judged = JudgedGarden.Of(
            storePath,
            options.SeasonStart,
            time,
            damage => log.Error("{Damage}", damage.Sentence(sites[0].Zone)),
            Judge);
        var (store, map, beside, loop) = judged;
        store.MarkServed();
        // A broker inside the program keeps nothing for anybody while it is stopped.
        if (store.ServeAs(broker.Client) is { } former && former != broker.Client && !broker.Embedded)
            log.Warning(
                "The service is at the broker as {Client} and was there as {Former} before, as after moving the store: what the broker "
                    + "keeps for {Former} does not come. With client_id: {Former} under broker in the garden file it does; "
                    + "no other service may run under that name.",
                broker.Client,
                former,
                former,
                former);
        link = new MqttLink(
            broker,
            [.. map.Topics, .. beside?.Topics ?? []],
            (message, token) => loop.OfferAsync(message, token),
            time,
            log);

        using var page = garden?.Page is { } settings ? PageWiring.Of(garden, settings, loop, link, time, log, services) : null;
        // The link ends after the loop, which still acknowledges and publishes while it stops.
        using var linkStop = new CancellationTokenSource();
        var linking = link.RunAsync(linkStop.Token);
        using var besideStop = CancellationTokenSource.CreateLinkedTokenSource(ct);
        // Whatever finds the store damaged ends the service: its next start saves what can be read.
        using var loopStop = CancellationTokenSource.CreateLinkedTokenSource(ct);
        var besides = beside is null
            ? Task.CompletedTask
            : EndingAsync(beside.RunAsync(() => loop.IsWell && link.IsWell, besideStop.Token), loopStop);
        var serving = page?.RunAsync(besideStop.Token) ?? Task.CompletedTask;
        var givingBack = SpareMemory.GiveBackAsync(besideStop.Token);
        var watchdog = new Watchdog(
            new SystemdNotifier(),
            [("The reading of what sensors send", loop.Turns), ("The link to the broker", link.Turns), .. beside?.Turns ?? []],
            time,
            log,
            services?.StartsAnew);
        var watching = watchdog.RunAsync(Environment.GetEnvironmentVariable("WATCHDOG_USEC"), besideStop.Token);
        try
        {
            services?.OnBegun?.Invoke();
            await loop.RunAsync(loopStop.Token).ConfigureAwait(false);
        }
        finally
        {
            await besideStop.CancelAsync().ConfigureAwait(false);
            await linkStop.CancelAsync().ConfigureAwait(false);
            // Both links say goodbye at once, so that a broker that hangs holds the stop up only once.
            await Task.WhenAll(besides, linking, serving, givingBack, watching).ConfigureAwait(false);
        }

        JudgedGarden Judge(SentinelStore store)
        {
            var map = new PayloadMap(series, options.ClockFromReadings);
            var beside = garden is null
                ? null
                : GardenServices.Open(garden, broker, () => link!, services ?? new ServiceOptions(options.ClockFromReadings), time, log);
            try
            {
                var loop = new SentinelLoop(
                    store,
                    map,
                    sites,
                    message => link!.Publish(message),
                    options with
                    {
                        TopicRoot = broker.TopicRoot,
                    },
                    time,
                    log,
                    onEvent,
                    (beside?.Parts ?? new LoopParts()) with
                    {
                        IsListening = () => link is { IsUp: true },
                        IsClockSet = TimeServer.HasSetClock,
                    });
                return new JudgedGarden(store, map, beside, loop);
            }
            catch
            {
                beside?.Dispose();
                throw;
            }
        }
    }

    /// <summary>Where it fails, what stands behind it ends as well.</summary>
    private static async Task EndingAsync(Task task, CancellationTokenSource other)
    {
        try
        {
            await task.ConfigureAwait(false);
        }
        catch
        {
            await other.CancelAsync().ConfigureAwait(false);
            throw;
        }
    }
}
