using System.Diagnostics.CodeAnalysis;

namespace BackyardSentinel.Simulation;

/// <summary>
/// A clock that moves when it is told to. Each timer that is due goes off once for a move, however far that goes, so that a season
/// passes in minutes. What the computer's clock shows may be wrong; the time that timers count is not.
/// </summary>
internal sealed class SimulatedTime(DateTimeOffset begin) : TimeProvider
{
    private readonly Lock _gate = new();
    private readonly List<SimulatedTimer> _timers = [];
    private TimeSpan _passed;

    /// <summary>By how much the computer's clock is ahead.</summary>
    public TimeSpan Wrong
    {
        get;
        set
        {
            field = value;
            HasBeenWrong |= value != TimeSpan.Zero;
        }
    }

    /// <summary>It was once wrong.</summary>
    public bool HasBeenWrong { get; private set; }

    /// <summary>The true time, UTC.</summary>
    public DateTimeOffset Truth => begin + _passed;

    /// <summary>Somebody waits for a moment to come.</summary>
    public bool IsWaitedFor
    {
        get
        {
            lock (_gate)
                return _timers.Exists(timer => timer is { Due: not null, Period: null });
        }
    }

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    public override DateTimeOffset GetUtcNow() => Truth + Wrong;

    public override long GetTimestamp() => _passed.Ticks;

    public void Advance(TimeSpan by)
    {
        List<SimulatedTimer> due;
        lock (_gate)
        {
            _passed += by;
            due = _timers.FindAll(timer => timer.Due <= _passed);
            foreach (var timer in due)
                timer.Due = timer.Period is { } period ? _passed + period : null;
        }

        foreach (var timer in due)
            timer.GoOff();
    }

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        var timer = new SimulatedTimer(this, callback, state);
        lock (_gate)
            _timers.Add(timer);
        timer.Change(dueTime, period);
        return timer;
    }

    [SuppressMessage("Design", "CA1001", Justification = "It is the timer.")]
    private sealed class SimulatedTimer(SimulatedTime time, TimerCallback callback, object? state) : ITimer
    {
        public TimeSpan? Due { get; set; }

        public TimeSpan? Period { get; private set; }

        public void GoOff() => callback(state);

        public bool Change(TimeSpan dueTime, TimeSpan period)
        {
            lock (time._gate)
            {
                Due = dueTime == Timeout.InfiniteTimeSpan || dueTime == TimeSpan.Zero ? null : time._passed + dueTime;
                Period = period == Timeout.InfiniteTimeSpan || period == TimeSpan.Zero ? null : period;
            }

            if (dueTime == TimeSpan.Zero)
                ThreadPool.QueueUserWorkItem(_ => GoOff());
            return true;
        }

        public void Dispose()
        {
            lock (time._gate)
                time._timers.Remove(this);
        }

        public ValueTask DisposeAsync()
        {
            Dispose();
            return ValueTask.CompletedTask;
        }
    }
}
