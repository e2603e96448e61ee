using System.Collections.Concurrent;
using BackyardSentinel.Delivery;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using Serilog;

namespace BackyardSentinel.Simulation;

/// <summary>The service from its start to its end, without a link: its store, its loop, its outbox.</summary>
internal sealed class SimulatedService : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly SentinelStore _store;
    private readonly JournalBook _journal;
    private readonly SimulatedTime _time;
    private readonly Task _running;
    private bool _isKilled;
    private int _offered, _handled;

    public SimulatedService(
        GardenFile garden,
        SimulatedTime time,
        DateTimeOffset season,
        ILogger log,
        ConcurrentDictionary<string, string> published)
    {
        _time = time;
        _store = StoreRescue.Open(garden.Store.Path, season, time, damage => Assert.Fail($"Taken for damaged: {damage.Fault}"));
        _store.MarkServed();
        _journal = JournalBook.Beside(garden.Store.Path);
        Loop = new SentinelLoop(
            _store,
            new PayloadMap(garden.Series),
            garden.Sites,
            message => published[message.Topic] = Encoding.UTF8.GetString(message.Payload.Span),
            // Each message is made safe for itself, so that it is known when it has been.
            new LoopOptions { MaxUnacknowledged = 1, SeasonStart = season, StopPatience = TimeSpan.Zero },
            time,
            log,
            (_, _, fact) => Told.Add(fact.Key),
            new LoopParts
            {
                IsListening = () => IsUp,
                Journal = _journal,
                Outbox = new AlertOutbox(
                    [new ReceiverSettings { Id = "phone", Kind = ReceiverKind.DryRun }],
                    alert => new AlertText($"{alert.Kind} {alert.Level}", "text").For(alert)),
            });
        _running = Loop.RunAsync(_stop.Token);
    }

    public SentinelLoop Loop { get; }

    /// <summary>The link is up.</summary>
    public bool IsUp { get; set; }

    /// <summary>The events told since the start.</summary>
    public List<string> Told { get; } = [];

    /// <summary>The loop has come to a rest: it has taken all that was offered, or waits for a moment.</summary>
    public void Settle()
    {
        var spin = new SpinWait();
        while (Volatile.Read(ref _handled) < _offered && !_time.IsWaitedFor && !_running.IsCompleted)
            spin.SpinOnce(sleep1Threshold: 100);
        if (_running.IsFaulted)
            _running.GetAwaiter().GetResult();
    }

    /// <summary>All that was offered has been taken.</summary>
    public bool HasTakenAll => Volatile.Read(ref _handled) == _offered;

    public void Offer(ArrivedMessage message)
    {
        _offered++;
        var offered = Loop.OfferAsync(message);
        Assert.True(offered.IsCompletedSuccessfully, "the inbox is full");
    }

    /// <summary>Something comes that is no sensor's, so that it is known when the loop has been round.</summary>
    public void Nudge() =>
        Offer(new ArrivedMessage("nobody", "0"u8.ToArray(), acknowledge: _ =>
        {
            Handled();
            return Task.CompletedTask;
        }));

    public void Handled() => Interlocked.Increment(ref _handled);

    /// <summary>It ends without a last word: the store is shut before it could write one.</summary>
    public async Task KillAsync()
    {
        _isKilled = true;
        _store.Dispose();
        await _stop.CancelAsync();
        await _running.ContinueWith(_ => { }, TaskScheduler.Default);
        _journal.Dispose();
    }

    /// <summary>It is asked to stop, and does.</summary>
    public async Task StopAsync()
    {
        Loop.Complete();
        await _running;
        _isKilled = true;
        _journal.Dispose();
        _store.Dispose();
    }

    public async ValueTask DisposeAsync()
    {
        if (!_isKilled)
            await StopAsync();
        _stop.Dispose();
    }
}
