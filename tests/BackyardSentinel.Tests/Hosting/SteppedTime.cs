namespace BackyardSentinel.Hosting;

/// <summary>A clock that can be set while time runs on, as a computer's can.</summary>
internal sealed class SteppedTime(DateTimeOffset start) : TimeProvider
{
    private readonly FakeTimeProvider _inner = new(start);

    /// <summary>How far the clock is set from the time that has run.</summary>
    public TimeSpan Offset { get; set; }

    /// <summary>How long nothing ran; clock and counter went on.</summary>
    public TimeSpan Slept { get; set; }

    public override long TimestampFrequency => _inner.TimestampFrequency;

    public override DateTimeOffset GetUtcNow() => _inner.GetUtcNow() + Offset + Slept;

    public override long GetTimestamp() => _inner.GetTimestamp() + (long)(Slept.TotalSeconds * TimestampFrequency);

    /// <summary>Released each time somebody begins to sleep: then nothing happens until time moves.</summary>
    public SemaphoreSlim Sleeps { get; } = new(0);

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        var timer = _inner.CreateTimer(callback, state, dueTime, period);
        if (dueTime > TimeSpan.Zero && period == Timeout.InfiniteTimeSpan)
            Sleeps.Release();
        return timer;
    }

    public void Advance(TimeSpan by) => _inner.Advance(by);
}
