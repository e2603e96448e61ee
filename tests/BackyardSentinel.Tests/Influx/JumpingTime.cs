namespace BackyardSentinel.Influx;

/// <summary>A clock on which every wait is over at once: it jumps to its end. Days of outage pass in a moment.</summary>
internal sealed class JumpingTime(DateTimeOffset start) : TimeProvider
{
    private long _passed;

    public TimeSpan Passed => new(Interlocked.Read(ref _passed));

    public void Advance(TimeSpan by) => Interlocked.Add(ref _passed, by.Ticks);

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    public override long GetTimestamp() => Interlocked.Read(ref _passed);

    public override DateTimeOffset GetUtcNow() => start + Passed;

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        var timer = new OverAtOnce();
        if (dueTime == Timeout.InfiniteTimeSpan)
            return timer;
        Advance(dueTime);
        ThreadPool.QueueUserWorkItem(_ => callback(state));
        return timer;
    }

    private sealed class OverAtOnce : ITimer
    {
        public bool Change(TimeSpan dueTime, TimeSpan period) => true;

        public void Dispose()
        {
        }

        public ValueTask DisposeAsync() => ValueTask.CompletedTask;
    }
}
