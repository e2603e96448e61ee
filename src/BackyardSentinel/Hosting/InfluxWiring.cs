using System.Security.Cryptography;
using System.Text;
using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Influx;
using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using Microsoft.Data.Sqlite;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>What the garden file says about InfluxDB, made into the part that writes there. It owns the way there.</summary>
public sealed class InfluxWiring : IDisposable
{
    private static readonly TimeSpan TellEvery = TimeSpan.FromMinutes(10);

    private readonly ForwardBook _book;
    private readonly InfluxServer _server;
    private readonly TimeProvider _time;
    private DateTimeOffset _since;
    private (InfluxTopic Topic, long At)? _told;

    private InfluxWiring(GardenFile garden, InfluxSettings settings, TimeProvider time, ILogger log)
    {
        (_time, _since) = (time, time.GetUtcNow());
        var address = Address(settings);
        _server = new InfluxServer(address);
        _book = ForwardBook.Open(garden.Store.Path);
        Sender = new InfluxSender(_server, address.ToString(), _book, time, log);
        var target = Target(address, settings);
        Forwarder = new InfluxForwarder(
            target,
            new SeasonFollower(garden, _book, _book.Began(target, _since)),
            _book,
            new InfluxLines(settings.What),
            Sender,
            time,
            log);
        Sender.Answered += (_, _) => Tell();
        Forwarder.Looked += (_, _) => Tell();
    }

    /// <summary>Told how the copying stands: when that changes, and every ten minutes.</summary>
    public event Action<InfluxTopic>? Told;

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

    private void Tell()
    {
        var state = Sender.LastAnswer?.Outcome == InfluxOutcome.NotAllowed ? InfluxState.NotAllowed
            : Sender.WaitingSince is null ? InfluxState.Forwarding
            : InfluxState.Waiting;
        if (_told is { } told)
        {
            var isOver = told.Topic.Waiting > 0 && state == InfluxState.Forwarding && Waiting() == 0;
            if (told.Topic.State == state && told.Topic.RefusedPoints == Sender.Aside && !isOver
                && _time.GetElapsedTime(told.At) < TellEvery)
                return;
            _since = told.Topic.State == state ? _since : _time.GetUtcNow();
        }

        var topic = new InfluxTopic(
            state,
            Sender.WaitingSince ?? _since,
            Forwarder.SafeUs > 0 ? StoredTime.ToMoment(Forwarder.SafeUs) : null,
            Waiting(),
            Sender.LastAnswer?.Reason ?? Sender.LastRefusal,
            Sender.Aside);
        _told = (topic, _time.GetTimestamp());
        Told?.Invoke(topic);
    }

    private long Waiting()
    {
        try
        {
            return Forwarder.Waiting;
        }
        catch (SqliteException)
        {
            return _told?.Topic.Waiting ?? 0; // The store is asked again with the next look.
        }
    }

    /// <summary>Tells one target from another without naming it: an address may be a secret.</summary>
    private static string Target(InfluxAddress address, InfluxSettings settings) =>
        Convert.ToHexStringLower(
            SHA256.HashData(
                Encoding.UTF8.GetBytes(
                    string.Join(
                        '\n',
                        [address.Url.AbsoluteUri, address.Org, address.Bucket, .. settings.What.Select(kind => kind.Word())]))))[..16];
}
