namespace BackyardSentinel.Mqtt;

/// <summary>A clock that moves by hand and tells whether anybody pauses by it: waits, and not only as long as another may take.</summary>
/// <param name="limits">How long another may take; such a wait is no pause.</param>
internal sealed class PauseTime(params TimeSpan[] limits) : FakeTimeProvider(new DateTimeOffset(2027, 3, 1, 0, 0, 0, TimeSpan.Zero))
{
    /// <summary>How long a broker may take.</summary>
    public static readonly TimeSpan[] OfBrokers = [BrokerPatience.StepLimit, BrokerPatience.LastStepLimit];

    private int _pauses, _limits;

    /// <summary>Somebody waits for his own time to come.</summary>
    public bool IsPaused => Volatile.Read(ref _pauses) > 0;

    /// <summary>Somebody waits for another, who may take so long.</summary>
    public bool IsLimited => Volatile.Read(ref _limits) > 0;

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        if (dueTime <= TimeSpan.Zero)
            return base.CreateTimer(callback, state, dueTime, period);
        ref var count = ref limits.Contains(dueTime) ? ref _limits : ref _pauses;
        Interlocked.Increment(ref count);
        var pause = new Pause(
            limits.Contains(dueTime) ? () => Interlocked.Decrement(ref _limits) : () => Interlocked.Decrement(ref _pauses));
        return pause.By(base.CreateTimer(
            held =>
            {
                if (period == Timeout.InfiniteTimeSpan)
                    pause.End();
                callback(held);
            },
            state,
            dueTime,
            period));
    }

    private sealed class Pause(Action ended) : ITimer
    {
        private ITimer _timer = null!;
        private int _isOver;

        public Pause By(ITimer timer)
        {
            _timer = timer;
            return this;
        }

        public void End()
        {
            if (Interlocked.Exchange(ref _isOver, 1) == 0)
                ended();
        }

        public bool Change(TimeSpan dueTime, TimeSpan period) => _timer.Change(dueTime, period);

        public void Dispose()
        {
            End();
            _timer.Dispose();
        }

        public ValueTask DisposeAsync()
        {
            End();
            return _timer.DisposeAsync();
        }
    }
}
