using System.Threading.Channels;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Guards;
using BackyardSentinel.Infection;
using BackyardSentinel.Storage;
using Polly;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Delivery;

/// <summary>The way of messages to one receiver: one at a time, oldest first. Receivers do not wait for each other.</summary>
internal sealed class OutboxLane
{
    /// <summary>
    /// The longest sleep: a clock that is set meanwhile is noticed after so long at the latest. No longer than an attempt, so that
    /// a way that hangs is noticed as soon while nothing is to be sent.
    /// </summary>
    private static readonly TimeSpan LongestSleep = WebhookReceiver.AttemptTimeout;

    /// <summary>A clock that goes back by more was set, not corrected.</summary>
    private static readonly TimeSpan ClockStep = TimeSpan.FromSeconds(30);

    private readonly OutboxStore _outbox;
    private readonly IAlertReceiver _receiver;
    private readonly AlertPathHealth _health;
    private readonly AlertPolicyOptions _policy;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly Random _jitter;
    private readonly ResiliencePipeline _patience;
    private readonly Channel<bool> _wake = Channel.CreateBounded<bool>(
        new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });
    private (DateTimeOffset Wall, long Timestamp) _seen;
    private (long Timestamp, TimeSpan Pause) _leftAlone;

    public OutboxLane(
        OutboxStore outbox,
        IAlertReceiver receiver,
        AlertPathHealth health,
        AlertPolicyOptions policy,
        TimeProvider time,
        ILogger log,
        Random jitter)
    {
        (_outbox, _receiver, _health, _policy, _time, _log, _jitter) = (outbox, receiver, health, policy, time, log, jitter);
        _seen = (time.GetUtcNow(), time.GetTimestamp());
        Turns = new TurnWatch(time);
        _patience = StorePatience.Of(
            time,
            TimeSpan.FromSeconds(1),
            reason => _log.Error(
                "The outbox takes nothing ({Reason}); nothing is sent to {Destination} until it does.",
                reason,
                _receiver.Name),
            () => _log.Information("The outbox works again; what waits for {Destination} goes out.", _receiver.Name),
            Turns);
        if (_outbox.SwitchedOff(receiver.Name, receiver.Fingerprint) is { } off)
            Trouble(off);
    }

    public TurnWatch Turns { get; }

    public void Wake() => _wake.Writer.TryWrite(true);

    public async Task RunAsync(CancellationToken ct)
    {
        while (true)
        {
            await SettleAsync(ct).ConfigureAwait(false);
            var due = await StoredAsync(() => _outbox.NextDueMs(_receiver.Name), ct).ConfigureAwait(false);
            var sleep = due is { } ms ? DateTimeOffset.FromUnixTimeMilliseconds(ms) - _time.GetUtcNow() : LongestSleep;
            if (LeftAloneFor() is var pause && sleep < pause)
                sleep = pause;
            if (sleep > LongestSleep)
                sleep = LongestSleep;
            if (sleep < TimeSpan.FromMilliseconds(1))
                sleep = TimeSpan.FromMilliseconds(1);

            Turns.Turn(sleep);
            using var either = CancellationTokenSource.CreateLinkedTokenSource(ct);
            await Task.WhenAny(Task.Delay(sleep, _time, either.Token), _wake.Reader.WaitToReadAsync(either.Token).AsTask())
                .ConfigureAwait(false);
            await either.CancelAsync().ConfigureAwait(false);
            ct.ThrowIfCancellationRequested();
            _wake.Reader.TryRead(out _);
        }
    }

    /// <summary>Does all that is due now.</summary>
    public async Task SettleAsync(CancellationToken ct)
    {
        while (true)
        {
            ct.ThrowIfCancellationRequested();
            Turns.Turn(WebhookReceiver.AttemptTimeout);
            var row = await StoredAsync(NextRow, ct).ConfigureAwait(false);
            if (row is null)
                return;
            var message = AlertJson.Read(row.Message);
            var result = await SendAsync(row, message, ct).ConfigureAwait(false);
            // A mark that cannot be written is tried again before anything else: sending meanwhile would send this twice.
            // When stopping, it is tried once: what was taken should not go out again at the next start.
            if (ct.IsCancellationRequested)
                Mark(row, message, result);
            else
                await StoredAsync(() => Mark(row, message, result), ct).ConfigureAwait(false);
        }
    }

    private OutboxRow? NextRow()
    {
        var now = _time.GetUtcNow();
        var expected = _seen.Wall + _time.GetElapsedTime(_seen.Timestamp);
        _seen = (now, _time.GetTimestamp());
        if (expected - now > ClockStep)
            _outbox.MakeDue(_receiver.Name, now.ToUnixTimeMilliseconds(), now.ToUnixTimeMilliseconds());

        var row = TakeOutsideQuiet(now);
        if (OutboxDigest.Owed(_outbox, _receiver.Name, now, _policy.Zone) is { } digest)
        {
            _outbox.AddDigest(digest);
            row = TakeOutsideQuiet(now);
        }

        _health.Look(_outbox, now);
        return LeftAloneFor() > TimeSpan.Zero ? null : row;
    }

    /// <summary>
    /// The next row that is due. In quiet hours those wait that the policy did not mean to come in them: what late readings brought, and
    /// what could not be sent by day.
    /// </summary>
    private OutboxRow? TakeOutsideQuiet(DateTimeOffset now)
    {
        var quietEnds = _policy.Quiet?.EndAt(now, _policy.Zone);
        while (true)
        {
            var row = _outbox.Take(_receiver.Name, now.ToUnixTimeMilliseconds());
            if (row is null || quietEnds is not { } end || PassesQuiet(AlertJson.Read(row.Message)))
                return row;
            _outbox.Mark(row with { NextMs = end.ToUnixTimeMilliseconds() });
        }
    }

    private bool PassesQuiet(AlertMessage? message) => message is null || (_policy.SeverePassesQuiet && message.Level == Level.Severe);

    private async Task<DeliveryResult> SendAsync(OutboxRow row, AlertMessage? message, CancellationToken ct)
    {
        if (message is null)
            return new DeliveryResult.Rejected($"The message {row.Id} in the outbox cannot be read.");
        var off = await StoredAsync(() => _outbox.SwitchedOff(_receiver.Name, _receiver.Fingerprint), ct).ConfigureAwait(false);
        if (off is not null)
            return new DeliveryResult.Rejected(off);
        try
        {
            return await _receiver.SendAsync(message, ct).ConfigureAwait(false);
        }
#pragma warning disable CA1031 // a receiver's fault must not stop the outbox, and the message must not vanish by it
        catch (Exception failure) when (failure is not OperationCanceledException || !ct.IsCancellationRequested)
#pragma warning restore CA1031
        {
            return new DeliveryResult.RetryLater(
                $"The destination {_receiver.Name} failed in the program itself ({failure.GetType().Name}). It is tried again.");
        }
    }

    private bool Mark(OutboxRow row, AlertMessage? message, DeliveryResult result)
    {
        var now = _time.GetUtcNow();
        var nowMs = now.ToUnixTimeMilliseconds();
        switch (result)
        {
            case DeliveryResult.Delivered delivered:
                var done = row with { State = OutboxState.Delivered, NextMs = nowMs, LastAnswer = delivered.Answer };
                if (message is { Kind: AlertMessage.DigestKind })
                    _outbox.MarkReported(done, OutboxDigest.Counted(message));
                else
                    _outbox.Mark(done);
                if (!_health.Note(_receiver.Name, null))
                    break;
                _log.Information("The destination {Receiver} works again.", _receiver.Name);
                _outbox.MakeDue(_receiver.Name, nowMs, nowMs);
                break;
            case DeliveryResult.RetryLater later:
                var attempts = row.Attempts + (later.Attempted ? 1 : 0);
                var pause = later.Attempted ? RetrySchedule.Pause(attempts, _jitter.NextDouble(), later.Unanswered) : TimeSpan.Zero;
                if (later.After is { } asked)
                {
                    _leftAlone = (_time.GetTimestamp(), asked);
                    if (asked > pause)
                        pause = asked;
                }

                _outbox.Mark(row with { Attempts = attempts, NextMs = (now + pause).ToUnixTimeMilliseconds(), LastAnswer = later.Reason });
                Trouble(later.Reason);
                break;
            case DeliveryResult.Rejected rejected:
                if (rejected.SwitchOff)
                    _outbox.SwitchOff(_receiver.Name, _receiver.Fingerprint, rejected.Reason);
                _outbox.Mark(
                    row with
                    {
                        State = OutboxState.Rejected,
                        Attempts = row.Attempts + 1,
                        NextMs = nowMs,
                        LastAnswer = rejected.Reason,
                    });
                _log.Warning("The alert {Id} was not sent: {Reason}", row.Id, rejected.Reason);
                _health.Note(_receiver.Name, rejected.Reason);
                break;
        }

        _health.Look(_outbox, now);
        return true;
    }

    /// <summary>Said once when trouble begins; after that the outbox and the health hold the latest.</summary>
    private void Trouble(string sentence)
    {
        if (_health.Note(_receiver.Name, sentence))
            _log.Warning("{Sentence}", sentence);
    }

    private TimeSpan LeftAloneFor() =>
        _leftAlone.Pause == TimeSpan.Zero ? TimeSpan.Zero : _leftAlone.Pause - _time.GetElapsedTime(_leftAlone.Timestamp);

    private ValueTask<T> StoredAsync<T>(Func<T> work, CancellationToken ct) =>
        _patience.ExecuteAsync(_ => ValueTask.FromResult(work()), ct);
}
