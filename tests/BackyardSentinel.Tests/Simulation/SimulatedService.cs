using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using Serilog.Core;

namespace BackyardSentinel.Simulation;

/// <summary>The service from its start to its end, without a link: its store, its loop, its outbox and who sends from that.</summary>
internal sealed class SimulatedService : IAsyncDisposable
{
    /// <summary>What takes a moment does not take so long on any computer, ms.</summary>
    private const long Hangs = 60_000;

    private readonly CancellationTokenSource _stop = new(), _stopSending = new();
    private readonly SentinelStore _store;
    private readonly JournalBook _journal;
    private readonly SimulatedTime _time, _timeOfSending;
    private readonly string _nudged;
    private readonly ManualResetEventSlim _goesOn = new(true);
    private readonly OutboxStore? _outbox;
    private readonly OutboxDispatcher? _sender;
    private readonly Task _running;
    private Task _sending = Task.CompletedTask;
    private bool _hasEnded;
    private int _offered, _handled, _killTaking;

    public SimulatedService(SimulatedGarden garden, Action<string, string> publish)
    {
        var path = garden.File.Store.Path;
        (_time, _nudged) = (garden.Time, garden.Devices[0].Topic);
        // Whoever waits for the disk to send does not hold up the others.
        _timeOfSending = new SimulatedTime(_time.Truth) { Wrong = _time.Wrong };
        try
        {
            _store = StoreRescue.Open(path, garden.SeasonStart, _time, damage => Assert.Fail($"Taken for damaged: {damage.Fault}"));
            _store.MarkServed();
            _journal = JournalBook.Beside(path);
            if (garden.Phone is { } phone)
            {
                _outbox = OutboxStore.Open(path);
                _sender = new OutboxDispatcher(_outbox, [phone], new AlertPolicyOptions(), _timeOfSending, Logger.None, new Random(1));
            }

            Loop = new SentinelLoop(
                _store,
                new PayloadMap(garden.File.Series),
                garden.File.Sites,
                message => publish(message.Topic, Encoding.UTF8.GetString(message.Payload.Span)),
                // What came together is made safe together, and at once, so that it is known when it has been.
                new LoopOptions { MaxUnacknowledged = 1, SeasonStart = garden.SeasonStart, StopPatience = TimeSpan.Zero },
                _time,
                Logger.None,
                parts: new LoopParts
                {
                    IsListening = () => IsUp,
                    OnMessage = (message, _) => Taking(message),
                    Journal = _journal,
                    Outbox = new AlertOutbox(
                        [new ReceiverSettings { Id = SimulatedPhone.Id, Kind = ReceiverKind.DryRun }],
                        alert => new AlertText($"{alert.Kind} {alert.Level}", "text").For(alert),
                        onAlert: alert => garden.Alerted.Enqueue(alert.Id)),
                });
        }
        catch
        {
            // A disk that takes nothing: it does not start.
            _outbox?.Dispose();
            _journal?.Dispose();
            _store?.Dispose();
            throw;
        }

        _running = Loop.RunAsync(_stop.Token);
    }

    public SentinelLoop Loop { get; }

    /// <summary>The link is up.</summary>
    public bool IsUp { get; set; }

    /// <summary>It waits for what the broker kept, and judges nothing yet.</summary>
    public bool IsCatchingUp { get; private set; } = true;

    /// <summary>The time that counts for it: not always the computer's clock, which it may not believe.</summary>
    public DateTimeOffset Now { get; private set; }

    /// <summary>It was killed in the midst of something, and does nothing any more.</summary>
    public bool IsDead { get; private set; }

    /// <summary>All that was offered has been taken.</summary>
    public bool HasTakenAll => !IsDead && Volatile.Read(ref _handled) == _offered;

    /// <summary>The loop has come to a rest: it has done all that was offered, or waits for a moment.</summary>
    public void Settle()
    {
        Spin(() => Volatile.Read(ref _handled) >= _offered || IsHeldUp);
        if (HasTakenAll)
        {
            // What is acknowledged is published after that, and only then is a question answered.
            var asked = Loop.AskAsync(now => (now.IsListening, now.At));
            Spin(() => asked.IsCompleted || IsHeldUp);
            if (asked.IsCompletedSuccessfully)
                (IsCatchingUp, Now) = asked.Result;
        }

        if (_running.IsFaulted && !IsDead)
            _running.GetAwaiter().GetResult();
    }

    /// <summary>These come in one go, before the loop takes up any.</summary>
    public void OfferTogether(IEnumerable<ArrivedMessage> messages)
    {
        _goesOn.Reset();
        try
        {
            Nudge();
            foreach (var message in messages)
                Offer(message);
        }
        finally
        {
            _goesOn.Set();
        }
    }

    /// <summary>Something comes that says nothing, so that it is known when the loop has been round.</summary>
    public void Nudge() =>
        Offer(new ArrivedMessage(_nudged, default, acknowledge: _ =>
        {
            Handled();
            return Task.CompletedTask;
        }));

    public void Handled() => Interlocked.Increment(ref _handled);

    /// <summary>It will be killed while it takes up a message.</summary>
    /// <param name="number">So many from now, 1 being the next.</param>
    public void KillTaking(int number) => _killTaking = number;

    /// <summary>Sends what is due, if somebody does; time has passed.</summary>
    public void Send(TimeSpan later)
    {
        if (_sender is null || IsDead)
            return;
        _timeOfSending.Wrong = _time.Wrong;
        _timeOfSending.Advance(later);
        // It may have been killed while it sent; who has stopped sending is killed no more.
        if (_sending.IsCompleted && !IsDead && HasOpen())
            _sending = Task.Run(() => _sender.SettleAsync(_stopSending.Token));
        Spin(() => _sending.IsCompleted || _timeOfSending.IsWaitedFor);
        if (_sending.IsFaulted && !IsDead)
            _sending.GetAwaiter().GetResult();
    }

    private bool HasOpen() => _outbox!.Rows().Any(row => row.State is OutboxState.Waiting or OutboxState.Expired or OutboxState.Rejected);

    /// <summary>The process is gone while it sends: what it does from here on comes to nothing.</summary>
    public void KillSending()
    {
        IsDead = true;
        _outbox!.Dispose();
        _stopSending.Cancel();
    }

    /// <summary>It ends without a last word: the store is shut before it could write one.</summary>
    public async Task KillAsync()
    {
        _hasEnded = true;
        await _stopSending.CancelAsync();
        await EndOfSendingAsync();
        _store.Dispose();
        await _stop.CancelAsync();
        await _running.ContinueWith(_ => { }, TaskScheduler.Default);
        _journal.Dispose();
    }

    /// <summary>It is asked to stop, and does.</summary>
    public async Task StopAsync()
    {
        _hasEnded = true;
        await _stopSending.CancelAsync();
        await EndOfSendingAsync();
        if (HasTakenAll)
            Loop.Complete();
        else
            await _stop.CancelAsync(); // It waits for a moment that does not come.
        await _running;
        _journal.Dispose();
        _store.Dispose();
    }

    public async ValueTask DisposeAsync()
    {
        if (!_hasEnded)
            await KillAsync();
        _stop.Dispose();
        _stopSending.Dispose();
        _goesOn.Dispose();
    }

    private void Offer(ArrivedMessage message)
    {
        _offered++;
        var offered = Loop.OfferAsync(message);
        Assert.True(offered.IsCompletedSuccessfully, "the inbox is full");
    }

    private void Taking(ArrivedMessage message)
    {
        if (message.Payload.IsEmpty)
        {
            _goesOn.Wait();
            return;
        }

        if (_killTaking == 0 || --_killTaking > 0)
            return;
        IsDead = true;
        _store.Dispose();
        throw new OperationCanceledException("killed");
    }

    /// <summary>The loop waits for a moment, or has ended.</summary>
    private bool IsHeldUp => _time.IsWaitedFor || _running.IsCompleted;

    private static void Spin(Func<bool> isDone)
    {
        var spin = new SpinWait();
        for (var began = Environment.TickCount64; !isDone(); spin.SpinOnce(sleep1Threshold: 100))
            Assert.True(Environment.TickCount64 - began < Hangs, "it turns, and comes to no end");
    }

    private async Task EndOfSendingAsync()
    {
        await _sending.ContinueWith(_ => { }, TaskScheduler.Default);
        _outbox?.Dispose();
    }
}
