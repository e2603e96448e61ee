using BackyardSentinel.Contract;

namespace BackyardSentinel.Delivery;

/// <summary>A way for alerts to reach somebody. It makes one attempt; when to try again is the outbox's business.</summary>
public interface IAlertReceiver
{
    /// <summary>Its id in the garden file.</summary>
    string Name { get; }

    /// <summary>
    /// Changes when its settings change where it sends, gives nothing of them away, and has no spaces. A receiver that was
    /// switched off by its other side is on again when this changes.
    /// </summary>
    string Fingerprint { get; }

    /// <summary>A message that is taken shows that somebody is there. A broker shows nothing: it takes whatever is published.</summary>
    bool IsAnswered => true;

    /// <summary>Makes one attempt. Failures are results; only cancellation throws.</summary>
    /// <param name="message">What to send.</param>
    /// <param name="ct">Gives up.</param>
    Task<DeliveryResult> SendAsync(AlertMessage message, CancellationToken ct);
}
