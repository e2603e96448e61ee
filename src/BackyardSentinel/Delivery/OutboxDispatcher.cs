using System.Text;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Guards;
using BackyardSentinel.Storage;
using Microsoft.Data.Sqlite;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Delivery;

/// <summary>
/// Empties the outbox. Each message is sent at least once, always with the same id; a kill between an answer and its mark
/// sends one message again. Every message ends: delivered, superseded by a newer one of its episode, or expired or
/// rejected and then told of in one digest. Sending runs on tasks of its own with a connection of its own
/// (<see cref="OutboxStore"/>), so a slow receiver delays no reading. Failure policy: a receiver's failures stay its own.
/// </summary>
public sealed class OutboxDispatcher
{
    /// <summary>Attempts are never further ahead than this, unless the clock was wrong when they were set.</summary>
    private static readonly TimeSpan FarthestAhead = TimeSpan.FromHours(25);

    private readonly OutboxStore _outbox;
    private readonly IAlertReceiver[] _receivers;
    private readonly string[] _names;
    private readonly OutboxLane[] _lanes;
    private readonly TimeProvider _time;
    private readonly ILogger _log;

    /// <summary>Makes the dispatcher; it sends nothing yet.</summary>
    /// <param name="outbox">The outbox; it must outlive the dispatcher.</param>
    /// <param name="receivers">All receivers of the garden file, with different names.</param>
    /// <param name="policy">The garden's zone, in which digests give times, and its quiet hours.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="jitter">Spreads retries.</param>
    public OutboxDispatcher(
        OutboxStore outbox,
        IReadOnlyCollection<IAlertReceiver> receivers,
        AlertPolicyOptions policy,
        TimeProvider time,
        ILogger log,
        Random jitter)
    {
        ArgumentNullException.ThrowIfNull(receivers);
        (_outbox, _time, _log) = (outbox, time, log);
        _receivers = [.. receivers];
        _names = [.. receivers.Select(receiver => receiver.Name)];
        if (_names.Distinct(StringComparer.Ordinal).Count() < _names.Length)
            throw new ArgumentException("Two receivers have the same name.", nameof(receivers));
        Health = new AlertPathHealth([.. receivers.Select(receiver => (receiver.Name, receiver.IsAnswered))]);
        _lanes = [.. receivers.Select(receiver => new OutboxLane(outbox, receiver, Health, policy, time, log, jitter))];
    }

    /// <summary>Whether alerts get out.</summary>
    public AlertPathHealth Health { get; }

    /// <summary>Whether the way to each receiver turns, by the receiver's name; late where it hangs.</summary>
    public IEnumerable<(string Receiver, TurnWatch Turns)> Turns => _names.Zip(_lanes.Select(lane => lane.Turns));

    /// <summary>The row of a message for one receiver, to be committed with the event it tells of.</summary>
    /// <param name="message">The message.</param>
    /// <param name="receiver">The receiver's settings.</param>
    /// <param name="firstSeen">
    /// When it came about here; later than its own time where readings came late. <c>null</c>: at its own time.
    /// </param>
    public static OutboxRow Row(AlertMessage message, ReceiverSettings receiver, DateTimeOffset? firstSeen = null)
    {
        ArgumentNullException.ThrowIfNull(message);
        ArgumentNullException.ThrowIfNull(receiver);
        // What readings that are still taken bring is of use from when they came; what lay longer is of its own time.
        var from = firstSeen is { } seen && seen > message.At && seen - message.At <= SiteWatch.LargestAge ? seen : message.At;
        var until = from + receiver.UsefulFor;
        if (message.UsefulUntil < until) until = message.UsefulUntil;
        return new OutboxRow(
            message.Id, receiver.Id, message.Episode, message.At.ToUnixTimeMilliseconds(), until.ToUnixTimeMilliseconds(),
            Encoding.UTF8.GetString(AlertJson.Write(message)));
    }

    /// <summary>New rows were committed: look now and not only at the next turn.</summary>
    public void Wake()
    {
        foreach (var lane in _lanes) lane.Wake();
    }

    /// <summary>Sends until cancelled. An attempt under way is given up; its message stays and is sent at the next start.</summary>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        await Task.Yield();
        Tidy();
        await KeptRunning.RunAllAsync(
                _names.Zip(_lanes, (name, lane) =>
                    ($"The way to the destination {name}", (Func<CancellationToken, Task>)lane.RunAsync)),
                _time,
                _log,
                StoreRefusal.IsSpoilt,
                ct)
            .ConfigureAwait(false);
    }

    /// <summary>
    /// Does all that is due now at every receiver, once; for commands that do not stay, never beside <see cref="RunAsync"/>.
    /// </summary>
    /// <param name="ct">Gives up.</param>
    public async Task SettleAsync(CancellationToken ct)
    {
        Tidy();
        await Task.WhenAll(_lanes.Select(lane => lane.SettleAsync(ct))).ConfigureAwait(false);
    }

    /// <summary>
    /// Hands over what waits for receivers that are no more, and brings back attempts set by a clock that was wrong or for another address.
    /// </summary>
    private void Tidy()
    {
        var now = _time.GetUtcNow();
        var nowMs = now.ToUnixTimeMilliseconds();
        try
        {
            var (handedOver, rejected) = _outbox.HandOverOrphans(_names, nowMs);
            if (handedOver > 0)
                _log.Warning(
                    "Alerts that waited for a destination that the garden file no longer names go to those it names: {Count}.", handedOver);
            if (rejected > 0)
                _log.Warning("Alerts that were not sent, as the garden file no longer names their destination: {Count}.", rejected);
            foreach (var receiver in _receivers)
            {
                // What an address did not take says nothing of another one.
                var after = _outbox.HasMoved(receiver.Name, receiver.Fingerprint) ? now : now + FarthestAhead;
                _outbox.MakeDue(receiver.Name, after.ToUnixTimeMilliseconds(), nowMs);
            }
        }
        catch (SqliteException failure)
        {
            _log.Warning("The outbox could not be tidied ({Reason}); it is tidied at the next start.", failure.Message);
        }
    }
}
