using BackyardSentinel.Garden;
using BackyardSentinel.Guards;
using BackyardSentinel.Mqtt;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Homie;

/// <summary>
/// A second, small link to the same broker that shows the service as a Homie device. The convention wants
/// <c>$state</c> as the last will, and the service's own link already has one; a connection cannot have two.
/// </summary>
public sealed class HomieLink
{
    private readonly MqttLink _link;
    private readonly Lock _gate = new();

    /// <summary>Makes a link that is not yet connected. Call <see cref="Show"/> once before <see cref="RunAsync"/>.</summary>
    /// <param name="broker">The broker as the service's own link has it; the client id gets <c>-homie</c> at its end.</param>
    /// <param name="sites">The sites, in the garden's order.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="isTold">The service's own link is down as well, and tells why.</param>
    public HomieLink(BrokerOptions broker, IReadOnlyList<Site> sites, TimeProvider time, ILogger log, Func<bool>? isTold = null)
    {
        Device = new HomieDevice(broker.Client, sites, time.GetUtcNow());
        // Nothing that may wait is subscribed, so the session is kept only as long as the will is held back.
        var own = broker with { ClientId = broker.Client + "-homie", SessionExpirySeconds = broker.WillDelaySeconds };
        // Troubles that an earlier run has left at the broker are asked for at every connection: what no longer stands goes.
        _link = new MqttLink(own, [Device.AlertFilter], TakeAsync, time, log, Device.Presence, retainedEachTime: true, isTold: isTold);
    }

    /// <summary>The device shown.</summary>
    public HomieDevice Device { get; }

    /// <summary>Whether its task turns.</summary>
    public TurnWatch Turns => _link.Turns;

    /// <summary>Publishes what has changed.</summary>
    /// <param name="watches">The watches; one that is left out stays as it was.</param>
    public void Show(IEnumerable<SiteWatch> watches) => Publish(() => Device.Messages(watches));

    /// <summary>Shows the troubles that stand now, and takes back those that do not.</summary>
    /// <param name="standing">See <see cref="HomieDevice.Troubles"/>.</param>
    public void ShowTroubles(IEnumerable<(string About, string Sentence)> standing) => Publish(() => Device.Troubles(standing));

    /// <summary>Keeps the link until cancelled, then says <c>disconnected</c>.</summary>
    /// <param name="ct">Ends it.</param>
    public Task RunAsync(CancellationToken ct) => _link.RunAsync(ct);

    private async ValueTask TakeAsync(ArrivedMessage message, CancellationToken ct)
    {
        if (message.Retained && message.Payload.Length > 0)
        {
            lock (_gate) Device.Found(message.Topic);
        }

        await message.AcknowledgeAsync(ct).ConfigureAwait(false);
    }

    /// <summary>The device is for one thread, and the link's and the loop's both come here.</summary>
    private void Publish(Func<IReadOnlyList<OutgoingMessage>> messages)
    {
        lock (_gate)
        {
            foreach (var message in messages()) _link.Publish(message);
        }
    }
}
