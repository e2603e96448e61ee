using BackyardSentinel.Commands.Examine;
using BackyardSentinel.Configuration;
using BackyardSentinel.Hosting;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Storage;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Commands.Run;

/// <summary>Watches a garden until asked to stop, each time with the garden file as it was last read and found good.</summary>
/// <param name="path">The garden file.</param>
/// <param name="virtualTime">The readings' own times are the clock.</param>
/// <param name="log">Where sentences go.</param>
internal sealed class GardenRun(string path, bool virtualTime, Serilog.Core.Logger log) : IAsyncDisposable
{
    /// <summary>So many sites are told one by one at the start; of an association's hundreds the number is enough.</summary>
    private const int MostTold = 20;

    /// <summary>A store that is damaged again so soon is the disk's matter, and whoever started the program is told (assumed).</summary>
    private static readonly TimeSpan BrokenAgain = TimeSpan.FromMinutes(10);

    private readonly GardenChange _change = new(path, Console.Error, log);
    private (BrokerOptions Options, EmbeddedBroker Broker)? _embedded;
    private long? _brokeAt;

    /// <summary>Runs until a signal asks for the end.</summary>
    /// <exception cref="GardenProblemException">The garden file cannot be used.</exception>
    /// <exception cref="WiringProblemException">Something it points to is missing or wrong.</exception>
    /// <exception cref="LinkException">The port of an embedded broker cannot be had.</exception>
    public async Task RunAsync()
    {
        var garden = GardenProblemException.Read(path);
        GardenFile? before = null;
        while (true)
        {
            var hasBegun = false;
            try
            {
                if (await WatchAsync(garden, () => hasBegun = true).ConfigureAwait(false) || _change.Take() is not { } next)
                    return;
                (garden, before) = (next, garden);
            }
            catch (Exception problem) when (before is not null && !hasBegun && CommandRun.IsKnown(problem))
            {
                log.Error(
                    "The service cannot start with {Path} as it is now, and goes on with what it had read before. {Reason}",
                    path,
                    problem.Message);
                (garden, before) = (before, null);
            }
            catch (SqliteException damage) when (hasBegun && StoreRefusal.IsSpoilt(damage) && IsTheFirst())
            {
                log.Error(
                    "The store {Store} was damaged while it was used ({Reason}). The service starts anew, looks it over and saves what can "
                        + "be read.",
                    garden.Store.Path,
                    damage.Message);
            }
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        _change.Dispose();
        await CloseBrokerAsync().ConfigureAwait(false);
    }

    private bool IsTheFirst()
    {
        var isFirst = _brokeAt is not { } before || TimeProvider.System.GetElapsedTime(before) > BrokenAgain;
        _brokeAt = TimeProvider.System.GetTimestamp();
        return isFirst;
    }

    /// <returns>A signal asked for the end.</returns>
    private async Task<bool> WatchAsync(GardenFile garden, Action onBegun)
    {
        var broker = GardenWiring.Broker(garden, out var reason) ?? throw new WiringProblemException(reason!.Text);
        await EmbedAsync(broker).ConfigureAwait(false);
        log.Information(
            "{Garden}: {Sites}, readings kept in {Store}",
            garden.Name,
            garden.Sites.Count == 1 ? "1 site" : FormattableString.Invariant($"{garden.Sites.Count} sites"),
            garden.Store.Path);
        foreach (var site in garden.Sites.Take(MostTold))
        {
            log.Information(
                "{Site}: watching {Plantings} by {Topics}",
                site.Id,
                string.Join(", ", site.Plantings.Select(planting => planting.Id)),
                string.Join(", ", garden.SeriesOf(site.Id).Select(series => series.Topic).Distinct()));
        }

        var sends = garden.Alerts.Receivers.Count > 0 && !virtualTime;
        var narrator = new Narrator(FoldingWriter.For(Console.Out), sends);
        var service = new WatchService(
            garden,
            broker,
            TimeProvider.System,
            log,
            narrator.Tell,
            new ServiceOptions(
                virtualTime,
                sends ? message => narrator.Tell(message, garden.Sites[0].Zone) : null,
                // A log is no place for keys: whoever may read it would come in.
                invitation => invitation.Write(Console.Out, withKeys: invitation.Keys is { AreNew: true } && !Console.IsOutputRedirected),
                ct => Examination.ForPageAsync(path, garden, TimeProvider.System, ct),
                onBegun,
                () => _change.Asked.IsCancellationRequested));
        return await ServiceHost.RunAsync(service, null, log, _change.Asked).ConfigureAwait(false);
    }

    /// <summary>Starts the broker inside the program, if there is to be one. Its clients keep one that has not changed.</summary>
    private async Task EmbedAsync(BrokerOptions broker)
    {
        if (_embedded?.Options == broker)
            return;
        await CloseBrokerAsync().ConfigureAwait(false);
        if (broker.Embedded)
            _embedded = (broker, await EmbeddedBroker.StartAsync(broker, log).ConfigureAwait(false));
    }

    private async ValueTask CloseBrokerAsync()
    {
        if (_embedded is { } open)
            await open.Broker.DisposeAsync().ConfigureAwait(false);
        _embedded = null;
    }
}
