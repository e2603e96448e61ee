namespace BackyardSentinel.Weather;

/// <summary>How regularly something comes: the last 20 intervals between its times, and no more.</summary>
internal sealed class Habit
{
    /// <summary>What comes regularly is missing when so many of its usual intervals have passed (assumed).</summary>
    public const int MissedIntervals = 6;

    private const int Kept = 20;

    /// <summary>So many of the kept intervals must be near the median (assumed).</summary>
    private const int Even = 18;

    private readonly long[] _intervals = new long[Kept];
    private int _known, _next;

    /// <summary>Some interval is known.</summary>
    public bool IsKnown => _known > 0;

    /// <summary>Takes the next interval.</summary>
    /// <param name="ticks">Its length.</param>
    public void Keep(long ticks)
    {
        _intervals[_next] = ticks;
        _next = _next == Kept - 1 ? 0 : _next + 1;
        _known = Math.Min(_known + 1, Kept);
    }

    /// <summary>The usual interval, in ticks, and whether nearly all of 20 are near it; nothing is known before the first.</summary>
    public (long Median, bool IsEven) Usual()
    {
        Span<long> sorted = stackalloc long[_known];
        _intervals.AsSpan(0, _known).CopyTo(sorted);
        sorted.Sort();
        var median = (sorted[(_known - 1) / 2] + sorted[_known / 2]) / 2;
        var near = 0;
        foreach (var ticks in sorted)
            near += ticks >= median / 2 && ticks <= median * 2 ? 1 : 0;
        return (median, _known == Kept && near >= Even);
    }
}
