namespace BackyardSentinel.Weather;

/// <summary>
/// Whether rain that no gauge tells of is known to be none. A gauge that speaks only when it tips is silent in dry weather; one that
/// has said 0 at even intervals and stops is not, and what falls then is not known.
/// </summary>
/// <param name="least">Silence up to here is never held against it.</param>
internal sealed class GaugeSilence(TimeSpan least)
{
    private readonly Habit _habit = new();
    private long _last = long.MinValue, _silentAt;
    private bool _saidDry, _isReckoned;

    /// <summary>Since when a gauge that used to speak regularly has been silent too long, UTC; <c>null</c>: it has not.</summary>
    public DateTimeOffset? Since { get; private set; }

    /// <summary>Takes the next interval.</summary>
    public void Note(in WeatherInterval interval)
    {
        if (interval.RainMm is { } mm)
        {
            if (_last != long.MinValue)
                _habit.Keep(interval.EndTicks - _last);
            (_last, _isReckoned, Since) = (interval.EndTicks, false, null);
            _saidDry |= mm == 0;
            return;
        }

        if (!_saidDry || !_habit.IsKnown || interval.EndTicks - _last <= least.Ticks)
            return;
        if (!_isReckoned)
        {
            var (usual, isEven) = _habit.Usual();
            (_silentAt, _isReckoned) = (isEven ? _last + Math.Max(least.Ticks, Habit.MissedIntervals * usual) : long.MaxValue, true);
        }

        if (interval.EndTicks > _silentAt)
            Since = new DateTimeOffset(_last, TimeSpan.Zero);
    }
}
