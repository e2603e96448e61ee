namespace BackyardSentinel.Mqtt;

/// <summary>A clock that moves by hand and tells whether anybody pauses by it: waits, and not only as long as another may take.</summary>
/// <param name="limits">How long another may take; such a wait is no pause.</param>
internal sealed class PauseTime(params TimeSpan[] limits) : FakeTimeProvider(new DateTimeOffset(2027, 3, 1, 0, 0, 0, TimeSpan.Zero))
{
    /// <summary>How long a broker may take.</summary>
    public static readonly TimeSpan[] OfBrokers = [BrokerPatience.StepLimit, BrokerPatience.LastStepLimit];

    private int _pauses;

    public bool IsPaused => Volatile.Read(ref _pauses) > 0;

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        if (dueTime <= TimeSpan.Zero || limits.Contains(dueTime))
            return base.CreateTimer(callback, state, dueTime, period);
        Interlocked.Increment(ref _pauses);
        var pause = new Pause(() => Interlocked.Decrement(ref _pauses));
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
