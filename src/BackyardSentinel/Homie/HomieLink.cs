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

    /// <summary>Makes a link that is not yet connected. Call <see cref="Show"/> once before <see cref="RunAsync"/>.</summary>
    /// <param name="broker">The broker as the service's own link has it; the client id gets <c>-homie</c> at its end.</param>
    /// <param name="sites">The sites, in the garden's order.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    public HomieLink(BrokerOptions broker, IReadOnlyList<Site> sites, TimeProvider time, ILogger log)
    {
        Device = new HomieDevice(broker.ClientId, sites, time.GetUtcNow());
        // Nothing is subscribed, so the session is kept only as long as the will is held back.
        var own = broker with { ClientId = broker.ClientId + "-homie", SessionExpirySeconds = broker.WillDelaySeconds };
        _link = new MqttLink(own, [], (_, _) => ValueTask.CompletedTask, time, log, Device.Presence);
    }

    /// <summary>The device shown.</summary>
    public HomieDevice Device { get; }

    /// <summary>Publishes what has changed.</summary>
    /// <param name="watches">The watches; one that is left out stays as it was.</param>
    public void Show(IEnumerable<SiteWatch> watches) => Publish(Device.Messages(watches));

    /// <summary>Shows a trouble until it is cleared.</summary>
    /// <param name="id">Which; see <see cref="HomieDevice.SetAlert"/>.</param>
    /// <param name="text">One sentence.</param>
    public void SetAlert(string id, string text) => Publish(Device.SetAlert(id, text));

    /// <summary>A trouble is over, or was found absent at the start.</summary>
    /// <param name="id">Which.</param>
    public void ClearAlert(string id) => Publish(Device.ClearAlert(id));

    /// <summary>Keeps the link until cancelled, then says <c>disconnected</c>.</summary>
    /// <param name="ct">Ends it.</param>
    public Task RunAsync(CancellationToken ct) => _link.RunAsync(ct);

    private void Publish(IReadOnlyList<OutgoingMessage> messages)
    {
        foreach (var message in messages) _link.Publish(message);
    }
}
