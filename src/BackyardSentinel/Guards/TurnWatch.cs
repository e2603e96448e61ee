namespace BackyardSentinel.Guards;

/// <summary>
/// By when a task that never ends will have turned again, by its own word. A task that works or waits renews it; one that hangs
/// does not, whatever it hangs in. Set by the task, asked by any thread.
/// </summary>
/// <param name="time">The clock; only its steady count is used, so that setting the clock makes nothing late.</param>
public sealed class TurnWatch(TimeProvider time)
{
    /// <summary>How long a turn may take beyond what it waits for: a slow card, a busy computer.</summary>
    public static readonly TimeSpan Grace = TimeSpan.FromSeconds(30);

    private long _due = long.MaxValue;

    /// <summary>The task has not turned by when it said. Never before its first word.</summary>
    public bool IsLate => time.GetTimestamp() > Volatile.Read(ref _due);

    /// <summary>The task turns, and will turn again within the wait and <see cref="Grace"/>.</summary>
    /// <param name="wait">What it waits for at the longest before it turns again.</param>
    public void Turn(TimeSpan wait = default) =>
        Volatile.Write(ref _due, time.GetTimestamp() + (long)((wait + Grace).TotalSeconds * time.TimestampFrequency));
}
