namespace BackyardSentinel.Live;

/// <summary>
/// Decides when readings that came late make the season be judged again: once for a burst, and ever more rarely while
/// they keep coming, as from a sensor whose clock is slow.
/// </summary>
/// <param name="time">The clock of waits.</param>
public sealed class LateReadings(TimeProvider time)
{
    /// <summary>A burst is over when none has come for so long (assumed).</summary>
    public static readonly TimeSpan Quiet = TimeSpan.FromSeconds(3);

    /// <summary>A burst that does not end is judged so long after it began (assumed).</summary>
    public static readonly TimeSpan LongestBurst = TimeSpan.FromMinutes(1);

    /// <summary>The pause after judging again; it doubles while readings come late without one.</summary>
    public static readonly TimeSpan ShortestPause = TimeSpan.FromMinutes(1), LongestPause = TimeSpan.FromHours(1);

    /// <summary>So many times as long as judging takes is the least pause: a slow computer has other work.</summary>
    private const int Rest = 20;

    private long _count, _first, _last, _judged;
    private bool _hasJudged;

    /// <summary>How long after the last time the season is judged again at the earliest.</summary>
    public TimeSpan Pause { get; private set; }

    /// <summary>Readings keep coming late, so that it is worth a word.</summary>
    public bool KeepComing => Pause >= 8 * ShortestPause;

    /// <summary>It is time to judge again.</summary>
    /// <param name="count">Late readings since the season was last judged.</param>
    public bool IsDue(long count)
    {
        if (count == 0)
        {
            _count = 0;
            return false;
        }

        var now = time.GetTimestamp();
        if (_count == 0) _first = now;
        if (count != _count) (_count, _last) = (count, now);
        if (_hasJudged && time.GetElapsedTime(_judged, now) < Pause) return false;
        return time.GetElapsedTime(_last, now) >= Quiet || time.GetElapsedTime(_first, now) >= LongestBurst;
    }

    /// <summary>The season has been judged again because of late readings.</summary>
    /// <param name="took">How long that took.</param>
    public void Judged(TimeSpan took)
    {
        var now = time.GetTimestamp();
        var again = _hasJudged && time.GetElapsedTime(_judged, now) < 2 * Pause;
        var pause = again ? 2 * Pause : ShortestPause;
        if (pause < Rest * took) pause = Rest * took;
        Pause = pause < LongestPause ? pause : LongestPause;
        (_judged, _hasJudged, _count) = (now, true, 0);
    }
}
