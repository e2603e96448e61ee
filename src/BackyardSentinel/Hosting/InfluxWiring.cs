using System.Security.Cryptography;
using System.Text;
using BackyardSentinel.Configuration;
using BackyardSentinel.Influx;
using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>What the garden file says about InfluxDB, made into the part that writes there. It owns the way there.</summary>
public sealed class InfluxWiring : IDisposable
{
    private readonly ForwardBook _book;
    private readonly InfluxServer _server;

    private InfluxWiring(GardenFile garden, InfluxSettings settings, TimeProvider time, ILogger log)
    {
        var address = Address(settings);
        _server = new InfluxServer(address);
        _book = ForwardBook.Open(garden.Store.Path);
        Sender = new InfluxSender(_server, address.ToString(), _book, time, log);
        Forwarder = new InfluxForwarder(
            Target(address, settings),
            new SeasonFollower(garden, _book),
            _book,
            new InfluxLines(settings.What),
            Sender,
            time,
            log);
    }

    /// <summary>Writes.</summary>
    public InfluxForwarder Forwarder { get; }

    /// <summary>The way to the server, and whether it is open.</summary>
    public InfluxSender Sender { get; }

    /// <summary>Readies everything; the store must be open already.</summary>
    /// <param name="garden">The garden, with its server.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    /// <returns><c>null</c> where the garden file names no server.</returns>
    /// <exception cref="WiringProblemException">Address or token cannot be had.</exception>
    public static InfluxWiring? Of(GardenFile garden, TimeProvider time, ILogger log)
    {
        ArgumentNullException.ThrowIfNull(garden);
        return garden.Influx is { } settings ? new InfluxWiring(garden, settings, time, log) : null;
    }

    /// <summary>Where the server is, with the token fetched.</summary>
    /// <param name="settings">The garden file's settings.</param>
    /// <exception cref="WiringProblemException">Address or token cannot be had.</exception>
    public static InfluxAddress Address(InfluxSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return new InfluxAddress(
            AlertWiringReceivers.Address(settings.Url, "The url of InfluxDB"),
            settings.Org,
            settings.Bucket,
            AlertWiringReceivers.Fetched(settings.Token, "The token of InfluxDB"));
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _server.Dispose();
        _book.Dispose();
    }

    /// <summary>Tells one target from another without naming it: an address may be a secret.</summary>
    private static string Target(InfluxAddress address, InfluxSettings settings) =>
        Convert.ToHexStringLower(
            SHA256.HashData(
                Encoding.UTF8.GetBytes(
                    string.Join('\n', [address.Url.AbsoluteUri, address.Org, address.Bucket, .. settings.What.Select(kind => kind.Word())]))))[..16];
}
