using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// Follows one site's wet spells, interval by interval, without looking ahead. Two states: no spell, or a spell that
/// is wet or in a dry gap.
/// </summary>
/// <param name="limits">What makes a spell.</param>
/// <param name="noRainGauge">There is no rain gauge.</param>
public sealed class WetSpellTracker(WetSpellLimits limits, bool noRainGauge)
{
    /// <summary>A spell is uncertain when more than this share of it is unknown or without temperature.</summary>
    public const double UncertainShare = 0.10;

    private bool _running, _withoutGauge;
    private long _start, _end, _gap;
    private double _wetTicks, _rainMm, _tempSum, _tempTicks, _minC, _maxC;
    private long _unclearTicks, _unclearAtEnd, _unknownTicks, _unknownAtEnd;

    /// <summary>The running spell judged up to its last wet interval; <c>null</c> between spells.</summary>
    public WetSpell? Running => _running ? Describe() : null;

    /// <summary>
    /// No gauge tells of the rain that wets: then wetness alone starts a spell, and a spell that it wets has no sum of rain.
    /// </summary>
    public bool NoRainGauge { get; set; } = noRainGauge;

    /// <summary>A tracker that goes on from here by itself, to look ahead with.</summary>
    public WetSpellTracker Copy() => (WetSpellTracker)MemberwiseClone();

    /// <summary>Takes the next interval.</summary>
    /// <param name="interval">The weather.</param>
    /// <param name="wetness">The judgement on it.</param>
    /// <param name="ended">The spell that this interval ended, if any.</param>
    /// <returns><c>true</c> when this interval started a spell.</returns>
    public bool Observe(in WeatherInterval interval, Wetness wetness, out WetSpell? ended)
    {
        ended = null;
        var started = false;
        if (wetness.State == WetnessState.Wet)
        {
            if (!_running)
            {
                // Dew alone starts nothing: it is reported as too short to infect.
                if (!(limits.StartsOnAnyWetness || NoRainGauge || interval.RainMm > 0))
                    return false;
                Begin(interval.StartTicks);
                started = true;
            }

            AddWet(interval, wetness.Fraction);
            return started;
        }

        if (!_running)
            return false; // Dry, frozen or unknown time before any rain: nothing to follow.

        _gap += interval.LengthTicks;
        if (wetness.State == WetnessState.Unknown)
            (_unclearTicks, _unknownTicks) = (_unclearTicks + interval.LengthTicks, _unknownTicks + interval.LengthTicks);
        if (_gap > limits.LongestGap.Ticks)
            ended = End();
        return false;
    }

    /// <summary>What was taken for the temperature of the running spell cannot be right: it is as if none had come.</summary>
    public void ForgetTemperature()
    {
        if (!_running)
            return;
        (_unclearTicks, _unclearAtEnd) = (_unclearTicks + (long)_tempTicks, _unclearAtEnd + (long)_tempTicks);
        ForgetSums();
    }

    /// <summary>Ends the running spell because the log is over.</summary>
    public WetSpell? End()
    {
        if (!_running)
            return null;
        var spell = Describe();
        _running = false;
        return spell;
    }

    private void Begin(long at)
    {
        (_running, _withoutGauge) = (true, false);
        (_start, _end) = (at, at);
        (_wetTicks, _rainMm) = (0, 0);
        ForgetSums();
        (_gap, _unclearTicks, _unclearAtEnd, _unknownTicks, _unknownAtEnd) = (0, 0, 0, 0, 0);
    }

    private void ForgetSums() =>
        (_tempSum, _tempTicks, _minC, _maxC) = (0, 0, double.PositiveInfinity, double.NegativeInfinity);

    private void AddWet(in WeatherInterval interval, double fraction)
    {
        var ticks = fraction * interval.LengthTicks;
        _wetTicks += ticks;
        _withoutGauge |= NoRainGauge;
        _rainMm += interval.RainMm ?? 0;
        if (interval.TemperatureC is { } t)
        {
            _tempSum += t * ticks;
            _tempTicks += ticks;
            _minC = Math.Min(_minC, t);
            _maxC = Math.Max(_maxC, t);
        }
        else
        {
            _unclearTicks += interval.LengthTicks;
        }

        _gap = 0;
        _end = interval.EndTicks;
        (_unclearAtEnd, _unknownAtEnd) = (_unclearTicks, _unknownTicks);
    }

    private WetSpell Describe()
    {
        var known = _tempTicks > 0;
        return new WetSpell(
            _start,
            _end,
            known ? _tempSum / _tempTicks : double.NaN,
            known ? _minC : double.NaN,
            known ? _maxC : double.NaN)
        {
            WetHours = _wetTicks / TimeSpan.TicksPerHour,
            RainMm = _rainMm,
            Uncertain = _unclearAtEnd > UncertainShare * (_end - _start),
            UnknownHours = (double)_unknownAtEnd / TimeSpan.TicksPerHour,
            NoRainGauge = _withoutGauge,
        };
    }
}
