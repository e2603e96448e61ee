using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Alerting;

/// <summary>How often one series speaks, and how long it has repeated itself.</summary>
/// <param name="quantity">What it measures.</param>
/// <param name="start">When listening started, UTC.</param>
internal sealed class SeriesPulse(Quantity quantity, DateTimeOffset start)
{
    /// <summary>Silence up to here is never told, whatever the sensor's habit (assumed).</summary>
    public static TimeSpan LeastSilence => TimeSpan.FromHours(3);

    /// <summary>Weather outdoors does not hold one value to the sensor's last digit for so long (assumed).</summary>
    public static TimeSpan LongestSameValue => TimeSpan.FromHours(12);

    /// <summary>
    /// Humidity at and above which standing still is no fault: in fog and long rain sensors stand at their upper end (assumed), %.
    /// </summary>
    public const double SaturatedHumidityPct = 98;

    private readonly Habit _habit = new();
    private bool _heard, _saidDry, _stuckTold;
    private double _lastValue;
    private DateTimeOffset _sameSince;
    private DateTimeOffset? _lateSince, _lateLong;

    /// <summary>What it measures.</summary>
    public Quantity Quantity => quantity;

    /// <summary>When it last spoke of its own time; before that, when it began to speak, or when listening started.</summary>
    public DateTimeOffset LastHeard { get; private set; } = start;

    /// <summary>When it will be silent if it says nothing more; <c>null</c>: its silence means nothing.</summary>
    public DateTimeOffset? SilentAt => Limit() is { } limit ? LastHeard + limit : _lateLong;

    /// <summary>It is not silent before this: each reading asks for it, and seldom what <see cref="SilentAt"/> reckons.</summary>
    public DateTimeOffset SpeaksUntil => LastHeard + LeastSilence;

    /// <summary>Its last word before the silence that runs; <c>null</c> while it speaks.</summary>
    public DateTimeOffset? SilentSince { get; set; }

    /// <summary>What came since then was a day old and more: its clock is slow, or it empties its memory.</summary>
    public bool IsLate => _lateSince is not null;

    /// <summary>Since when it repeats one value too long, with the value; <c>null</c>: it does not.</summary>
    public (double Value, DateTimeOffset Since)? Stuck => _stuckTold ? (_lastValue, _sameSince) : null;

    /// <summary>Takes its next value.</summary>
    /// <param name="value">The value.</param>
    /// <param name="arrival">When it arrived.</param>
    /// <param name="wasMissed">
    /// Nobody listened for some of the time since its last word: what it said is not known to have been the same.
    /// </param>
    /// <returns>Since when it has been stuck, told once; otherwise <c>null</c>.</returns>
    public DateTimeOffset? Hear(double value, DateTimeOffset arrival, bool wasMissed)
    {
        if (_heard)
            _habit.Keep(Math.Max(0, (arrival - LastHeard).Ticks));
        _saidDry |= value == 0;
        var isGap = wasMissed || IsLate || SilentSince is not null;
        LastHeard = arrival;
        SilentSince = null;
        (_lateSince, _lateLong) = (null, null);

        if (!_heard || isGap || value != _lastValue)
            (_sameSince, _stuckTold) = (arrival, false);
        (_heard, _lastValue) = (true, value);
        if (_stuckTold || !CanStick(value) || arrival - _sameSince < LongestSameValue)
            return null;
        _stuckTold = true;
        return _sameSince;
    }

    /// <summary>Takes a value of another time than that of its arrival: it lives, and says nothing of now.</summary>
    /// <param name="arrival">When it arrived.</param>
    public void HearLate(DateTimeOffset arrival)
    {
        // When listening began is another moment after each restart; this one is stored.
        if (!_heard && _lateSince is null && SilentSince is null)
            LastHeard = arrival;
        _lateSince ??= arrival;
        if (arrival - _lateSince >= LeastSilence)
            _lateLong ??= arrival;
    }

    private bool CanStick(double value) =>
        quantity == Quantity.Temperature || (quantity == Quantity.Humidity && value < SaturatedHumidityPct);

    private TimeSpan? Limit()
    {
        if (!_habit.IsKnown)
            return quantity == Quantity.Rain ? null : LeastSilence;
        var (median, isEven) = _habit.Usual();
        // A gauge that speaks only when it tips is silent in dry weather; one that says 0 at even intervals is not.
        return quantity == Quantity.Rain && !(_saidDry && isEven)
            ? null
            : TimeSpan.FromTicks(Math.Max(LeastSilence.Ticks, Habit.MissedIntervals * median));
    }
}
