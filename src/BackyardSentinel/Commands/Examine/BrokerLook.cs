using System.Globalization;
using System.Net;
using System.Net.Sockets;
using BackyardSentinel.Configuration;
using BackyardSentinel.Hosting;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>What a short visit to the broker showed; nothing is published.</summary>
internal sealed record BrokerLook
{
    private const string DroppedTopic = "$SYS/broker/publish/messages/dropped";

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(5);

    /// <summary>What came of a topic.</summary>
    /// <param name="Live">Messages that were sent while we listened.</param>
    /// <param name="Kept">The broker's kept copy came.</param>
    /// <param name="LeastQos">The lowest delivery that its sender asked for: 0 is without an acknowledgement.</param>
    public sealed record Heard(int Live, bool Kept, int LeastQos);

    /// <summary>Why its name has no address; <c>null</c>: it has.</summary>
    public Sentence? NameFault { get; private init; }

    /// <summary>Why its port does not answer; <c>null</c>: it does.</summary>
    public Sentence? PortFault { get; private init; }

    /// <summary>Why it does not let us in; <c>null</c>: it does.</summary>
    public Sentence? LoginFault { get; private init; }

    /// <summary>What it does not let this user read, each a sentence.</summary>
    public IReadOnlyList<Sentence> Refused { get; private init; } = [];

    /// <summary>What came, by topic.</summary>
    public IReadOnlyDictionary<string, Heard> Topics { get; private init; } = new Dictionary<string, Heard>();

    /// <summary>
    /// Messages that the broker has dropped since it started, since a client's queue was full, by its own count (mosquitto(8),
    /// $SYS/broker/publish/messages/dropped); <c>null</c>: it does not tell.
    /// </summary>
    public long? Dropped { get; private init; }

    /// <summary>The last words of the service's own state.</summary>
    public string? State { get; private init; }

    /// <summary>What the service says of InfluxDB, JSON.</summary>
    public string? Influx { get; private init; }

    /// <summary>When its certificate, or one above it, expires, UTC; <c>null</c>: it showed none.</summary>
    public DateTimeOffset? CertificateUntil { get; private init; }

    /// <summary>How long was listened.</summary>
    public TimeSpan Length { get; private init; }

    /// <summary>The visit came about.</summary>
    public bool IsIn => NameFault is null && PortFault is null && LoginFault is null;

    /// <summary>Visits it.</summary>
    public static async Task<BrokerLook> AtAsync(GardenFile garden, TimeSpan length, CancellationToken ct)
    {
        if (GardenWiring.Broker(garden, out var reason) is not { } broker)
            return new BrokerLook { LoginFault = reason };
        try
        {
            using var limit = CancellationTokenSource.CreateLinkedTokenSource(ct);
            limit.CancelAfter(Patience);
            var addresses = await Dns.GetHostAddressesAsync(broker.Host, limit.Token).WaitAsync(limit.Token).ConfigureAwait(false);
            if (addresses.Length == 0)
                return new BrokerLook { NameFault = $"The name {new Name(broker.Host)} has no address." };
        }
        catch (Exception failure) when (
            failure is SocketException or ArgumentException || (failure is OperationCanceledException && !ct.IsCancellationRequested))
        {
            return new BrokerLook { NameFault = $"The broker's name {new Name(broker.Host)} cannot be looked up." };
        }

        try
        {
            using var limit = CancellationTokenSource.CreateLinkedTokenSource(ct);
            limit.CancelAfter(Patience);
            using var door = new TcpClient();
            await door.ConnectAsync(broker.Host, broker.Port, limit.Token).ConfigureAwait(false);
        }
        catch (Exception failure) when (
            failure is SocketException || (failure is OperationCanceledException && !ct.IsCancellationRequested))
        {
            var door = new Name(FormattableString.Invariant($"{broker.Host}:{broker.Port}"));
            return new BrokerLook { PortFault = $"Nothing answers at {door}." };
        }

        return await HearAsync(garden, broker, length, ct).ConfigureAwait(false);
    }

    private static async Task<BrokerLook> HearAsync(GardenFile garden, BrokerOptions broker, TimeSpan length, CancellationToken ct)
    {
        Dictionary<string, Heard> heard = new(StringComparer.Ordinal);
        var gate = new Lock();
        string? state = null, influx = null;
        long? dropped = null;
        List<string> filters = [.. garden.Series.Select(series => series.Topic).Distinct(), broker.StateTopic, DroppedTopic];
        if (garden.Influx is not null)
            filters.Add(broker.InfluxTopic);
        try
        {
            // A name of its own, so that neither the service nor a second look is thrown out.
            var visit = new BrokerVisit(broker with { ClientId = "look-" + Guid.NewGuid().ToString("N")[..8] });
            var refused = await visit.HearAsync(filters, length, Take, CancellationToken.None, ct).ConfigureAwait(false);
            lock (gate)
                return new BrokerLook
                {
                    // A broker may keep its own counts to itself: that is nothing to mend.
                    Refused = [.. refused.Where(sentence => !sentence.Text.Contains(DroppedTopic, StringComparison.Ordinal))],
                    Topics = new Dictionary<string, Heard>(heard),
                    State = state,
                    Influx = influx,
                    Dropped = dropped,
                    CertificateUntil = visit.CertificateUntil,
                    Length = length,
                };
        }
        catch (LinkException problem)
        {
            return new BrokerLook { LoginFault = problem.Says };
        }

        void Take(string topic, ReadOnlyMemory<byte> payload, bool retained, int qos)
        {
            lock (gate)
            {
                if (topic == broker.StateTopic)
                    state = System.Text.Encoding.UTF8.GetString(payload.Span[..Math.Min(payload.Length, 500)]);
                if (topic == broker.InfluxTopic)
                    influx = System.Text.Encoding.UTF8.GetString(payload.Span[..Math.Min(payload.Length, 2000)]);
                if (topic == DroppedTopic)
                    dropped = long.TryParse(payload.Span, NumberStyles.None, CultureInfo.InvariantCulture, out var count) ? count : null;
                var before = heard.GetValueOrDefault(topic) ?? new Heard(0, false, 2);
                heard[topic] = new Heard(before.Live + (retained ? 0 : 1), before.Kept || retained, Math.Min(before.LeastQos, qos));
            }
        }
    }
}
