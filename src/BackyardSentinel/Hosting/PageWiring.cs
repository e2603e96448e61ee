using BackyardSentinel.Configuration;
using BackyardSentinel.Live;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Web;
using BackyardSentinel.Web.Access;
using BackyardSentinel.Web.Sensors;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>What the garden file says about the page, made into the server of it. It owns what the page reads.</summary>
public sealed class PageWiring : IDisposable
{
    private readonly PageBooks _books;
    private readonly PageServer _server;

    private PageWiring(
        GardenFile garden,
        PageSettings settings,
        PageKeys keys,
        SentinelLoop loop,
        MqttLink link,
        TimeProvider time,
        ILogger log,
        ServiceOptions? services)
    {
        _books = PageBooks.Beside(garden.Store.Path);
        _server = new PageServer(
            settings,
            new PageParts(garden, AlertWiring.WordsOf(garden), loop, _books)
            {
                Examine = services?.Examine,
                Listen = ListenTo(garden),
                LinkTrouble = () => link.Trouble,
                IsWell = () => loop.IsWell && link.IsWell,
            },
            keys,
            time,
            log)
        {
            OnServed = address => services?.OnPage?.Invoke(new Invitation(address, settings.IsLocal ? null : keys)),
        };
    }

    /// <summary>Readies everything; the store must be open already.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="settings">Where its page is served.</param>
    /// <param name="loop">Answers what the garden is like.</param>
    /// <param name="link">The link to the broker.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="services">Told where the page is once it is served; looks the installation over for it.</param>
    /// <returns><c>null</c>: its keys cannot be had, which the log tells; the garden is watched on without it.</returns>
    public static PageWiring? Of(
        GardenFile garden,
        PageSettings settings,
        SentinelLoop loop,
        MqttLink link,
        TimeProvider time,
        ILogger log,
        ServiceOptions? services)
    {
        var path = PageKeys.PathBeside(garden.Store.Path);
        try
        {
            var keys = settings.IsLocal ? PageKeys.Passing() : PageKeys.Of(path);
            return new PageWiring(garden, settings, keys, loop, link, time, log, services);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            log.Error(
                "The page is not served: its keys {Path} cannot be read or made: {Reason}. The garden is watched on without it. "
                    + "Give the service's user the right to its folder, delete that file, and start the service again: it makes new keys.",
                path,
                failure.Message.TrimEnd('.'));
            return null;
        }
    }

    /// <summary>Listens beside the service's own link, under a name of its own.</summary>
    private static HearBroker? ListenTo(GardenFile garden) => GardenWiring.Broker(garden, out _) is { } broker
        ? (heard, length, end) => new BrokerVisit(broker).HearAsync(
            ["#"], length, (topic, payload, retained, _) => heard(topic, payload, retained), end, CancellationToken.None)
        : null;

    /// <summary>Serves the page until cancelled.</summary>
    /// <param name="ct">Asks it to stop.</param>
    public Task RunAsync(CancellationToken ct) => _server.RunAsync(ct);

    /// <inheritdoc/>
    public void Dispose() => _books.Dispose();
}
