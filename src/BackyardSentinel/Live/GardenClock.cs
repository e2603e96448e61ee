namespace BackyardSentinel.Live;

/// <summary>What the clock has done since the last look.</summary>
public enum ClockNews
{
    /// <summary>It runs.</summary>
    None,

    /// <summary>It has leapt: nothing is taken until it has stood by that for <see cref="GardenClock.Patience"/>.</summary>
    Doubted,

    /// <summary>It has gone back and is believed: what was stamped later than it is false.</summary>
    SetBack,

    /// <summary>It is behind what has been lived through: time is counted on from there until it is set.</summary>
    Behind,
}

/// <summary>
/// The computer's clock, believed only when it can be right. A leap is waited out, so that a clock that is wrong for a
/// moment changes nothing; one that stands is believed, unless the store shows that real time has gone on past it.
/// Used by the loop's thread only.
/// </summary>
public sealed class GardenClock
{
    /// <summary>A leap that stands so long is believed (assumed: longer than a clock needs that is being set).</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    /// <summary>So far a clock may go back or drift without a word: sensors' clocks may be off as much.</summary>
    public static readonly TimeSpan Tolerance = TimeSpan.FromMinutes(10);

    /// <summary>A computer may have slept, or its service been off, for so long without a doubt (assumed).</summary>
    private static readonly TimeSpan LongestSleep = TimeSpan.FromDays(1), LongestOff = TimeSpan.FromDays(60);

    private readonly TimeProvider _time;
    private readonly Func<DateTimeOffset, bool> _canBe;
    private readonly Func<bool> _isSet;
    private readonly bool _livedOn;
    private DateTimeOffset _anchor;
    private long _stamp;
    private bool _began;
    private (long Since, TimeSpan Off)? _doubt;
    private TimeSpan? _ignored;

    /// <summary>Begins.</summary>
    /// <param name="time">The computer's clock.</param>
    /// <param name="latest">The latest moment in the store; <c>null</c>: it is empty.</param>
    /// <param name="canBe">The store does not speak against this moment: it is not before all that is stored.</param>
    /// <param name="livedOn">The store shows that real time has gone on past this moment.</param>
    /// <param name="isSet">A time server has set the clock; <c>null</c>: that is never known.</param>
    public GardenClock(
        TimeProvider time,
        DateTimeOffset? latest,
        Func<DateTimeOffset, bool> canBe,
        Func<DateTimeOffset, bool> livedOn,
        Func<bool>? isSet = null)
    {
        (_time, _canBe, _stamp, _isSet) = (time, canBe, time.GetTimestamp(), isSet ?? (() => false));
        var wall = time.GetUtcNow();
        _anchor = latest ?? wall;
        _livedOn = _anchor > wall + Tolerance && (!CanBe(wall) || (livedOn(wall) && !_isSet()));
        StoredUntil = _anchor > wall + Tolerance && !_livedOn ? wall + Tolerance : DateTimeOffset.MaxValue;
    }

    /// <summary>A year before this program was written is a clock that was never set.</summary>
    /// <param name="wall">What the computer's clock says.</param>
    public static bool WasSet(DateTimeOffset wall) => wall.Year >= 2026;

    /// <summary>Until when what is stored can be true.</summary>
    public DateTimeOffset StoredUntil { get; }

    /// <summary>The time that counts, UTC.</summary>
    public DateTimeOffset Now => _ignored is null && _doubt is null ? _time.GetUtcNow() : Expected;

    /// <summary>The clock has leapt, and it is not known yet whether to believe it.</summary>
    public bool IsDoubtful => _doubt is not null;

    /// <summary>The computer's clock is not believed: time is counted on without it until it is set.</summary>
    public bool IsIgnored => _ignored is not null;

    /// <summary>How far the computer's clock is from the time that counts; positive: ahead.</summary>
    public TimeSpan OffBy => _time.GetUtcNow() - Expected;

    private DateTimeOffset Expected => _anchor + _time.GetElapsedTime(_stamp);

    /// <summary>Looks at the clock.</summary>
    public ClockNews Look()
    {
        var wall = _time.GetUtcNow();
        var off = wall - Expected;
        if (off >= -Tolerance && off <= (_began ? LongestSleep : LongestOff))
        {
            Believe(wall);
            return ClockNews.None;
        }

        if (_ignored is { } ignored && (off - ignored).Duration() <= Tolerance)
        {
            _doubt = null;
            if (!_isSet() || !CanBe(wall))
                return ClockNews.None;
            Believe(wall); // It was right, and what the store has lived through was stamped by one that was ahead.
            return ClockNews.SetBack;
        }

        if (_doubt is not { } doubt || (off - doubt.Off).Duration() > Tolerance)
        {
            _doubt = (_time.GetTimestamp(), off);
            return ClockNews.Doubted;
        }

        if (_time.GetElapsedTime(doubt.Since) < Patience) return ClockNews.None;
        if (off > TimeSpan.Zero)
        {
            Believe(wall);
            return ClockNews.None;
        }

        // While the program runs a clock that goes back is being put right; at the start it may have lost its time.
        if (CanBe(wall) && (_began || !_livedOn))
        {
            Believe(wall);
            return ClockNews.SetBack;
        }

        (_doubt, _ignored, _began) = (null, off, true);
        return ClockNews.Behind;
    }

    private void Believe(DateTimeOffset wall) =>
        (_anchor, _stamp, _doubt, _ignored, _began) = (wall, _time.GetTimestamp(), null, null, true);

    private bool CanBe(DateTimeOffset wall) => WasSet(wall) && _canBe(wall);
}
