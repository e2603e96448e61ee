using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>Puts alerts into words and into a row of the outbox for each receiver.</summary>
/// <param name="receivers">The receivers.</param>
/// <param name="say">Puts an alert into words.</param>
/// <param name="onCommitted">Told when rows are on disk; wakes whoever sends them.</param>
/// <param name="onAlert">Told each new alert once it is on disk.</param>
public sealed class AlertOutbox(
    IReadOnlyList<ReceiverSettings> receivers,
    Func<Alert, AlertMessage> say,
    Action? onCommitted = null,
    Action<AlertMessage>? onAlert = null)
{
    /// <summary>The alert in words.</summary>
    public AlertMessage Say(Alert alert) => say(alert);

    /// <summary>
    /// The rows of a message. One that is past its use when it is first seen, as after a long time off, is recorded as
    /// expired: it can be listed, and nothing stale reaches the phone.
    /// </summary>
    /// <param name="message">The message.</param>
    /// <param name="now">Now.</param>
    /// <param name="over">Why it is over although its time is not, as a clause; <c>null</c>: it is not.</param>
    public IEnumerable<OutboxRow> Rows(AlertMessage message, DateTimeOffset now, string? over = null)
    {
        foreach (var receiver in receivers)
        {
            var row = OutboxDispatcher.Row(message, receiver, now);
            yield return (over ?? (row.UsefulUntilMs > now.ToUnixTimeMilliseconds() ? null : "its time had passed when it was first seen"))
                is not { } why
                ? row
                : row with { State = OutboxState.ExpiredReported, LastAnswer = why };
        }
    }

    /// <summary>The rows are on disk.</summary>
    public void Committed(IReadOnlyList<AlertMessage> messages)
    {
        if (messages.Count == 0)
            return;
        onCommitted?.Invoke();
        foreach (var message in messages)
            onAlert?.Invoke(message);
    }
}
