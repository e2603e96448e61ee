namespace BackyardSentinel.Weather;

/// <summary>
/// Whether rain that no gauge tells of is known to be none. A gauge that speaks only when it tips is silent in dry weather; one that
/// has said 0 at even intervals and stops is not, and what falls then is not known. Of one that never spoke nobody knows which it is: while
/// leaves are wet for longer than dew keeps them, it may have rained. Nor is it known when rain fell that is told of another day.
/// </summary>
/// <param name="least">Silence up to here is never held against it.</param>
internal sealed class GaugeSilence(TimeSpan least)
{
    /// <summary>Leaves that are wet for so long are not wet by dew alone (assumed).</summary>
    private static readonly TimeSpan LongestDew = TimeSpan.FromHours(12);

    private readonly Habit _habit = new();
    private long _last = long.MinValue, _wetFrom = long.MaxValue, _silentAt;
    private bool _saidDry, _isReckoned;
    // When it began to tell of another day, and when it last did.
    private long _otherDayFrom, _otherDayLast = long.MinValue;

    /// <summary>Since when it is not known whether it rains, UTC; <c>null</c>: it is.</summary>
    public DateTimeOffset? Since { get; private set; }

    /// <summary>It has said something.</summary>
    public bool HasSpoken => _last != long.MinValue;

    /// <summary>Rain was told of another day: by a clock that is slow it may be falling now.</summary>
    /// <param name="at">When that came, UTC ticks.</param>
    public void ToldOfAnotherDay(long at) => (_otherDayFrom, _otherDayLast) = (IsOfAnotherDay(at) ? _otherDayFrom : at, at);

    /// <summary>Takes the next interval.</summary>
    /// <param name="interval">The interval.</param>
    /// <param name="wetness">Whether leaves were wet in it.</param>
    public void Note(in WeatherInterval interval, WetnessState wetness)
    {
        if (interval.RainMm is { } mm)
        {
            if (_last != long.MinValue)
                _habit.Keep(interval.EndTicks - _last);
            (_last, _isReckoned, Since, _otherDayLast) = (interval.EndTicks, false, null, long.MinValue);
            _saidDry |= mm == 0;
            return;
        }

        // For a day: of a gauge that speaks only when it tips nobody hears in dry weather that its clock has been set.
        if (IsOfAnotherDay(interval.EndTicks))
        {
            Since ??= new DateTimeOffset(_otherDayFrom, TimeSpan.Zero);
            return;
        }

        if (_otherDayLast != long.MinValue)
            (_otherDayLast, Since) = (long.MinValue, null);

        if (!HasSpoken)
        {
            if (wetness == WetnessState.Wet)
                _wetFrom = Math.Min(_wetFrom, interval.StartTicks);
            else if (wetness != WetnessState.Unknown)
                (_wetFrom, Since) = (long.MaxValue, null);
            if (_wetFrom < interval.EndTicks - LongestDew.Ticks)
                Since = new DateTimeOffset(_wetFrom, TimeSpan.Zero);
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

    private bool IsOfAnotherDay(long at) => _otherDayLast > at - TimeSpan.TicksPerDay;
}
