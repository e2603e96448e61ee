using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// Rule <c>two-day</c>: a stretch of intervals at 8–16 °C that are wet or at 90 % humidity or more, broken by more than
/// one hour outside. From 24 h infection is likely, from 48 h severe. Common practice, no source; other limits may be set.
/// </summary>
/// <param name="planting">The planting's id.</param>
/// <param name="limits">The limits; <c>null</c>: those of common practice.</param>
public sealed class TwoDayRule(string planting, TwoDayLimits? limits = null) : InfectionRule(RuleName.TwoDay, planting)
{
    private TwoDayLimits _limits = limits ?? new TwoDayLimits();
    private long _inside, _outside;
    private double _tempSum, _rainMm;
    private DateTimeOffset _lastInside;
    private long _spell = long.MinValue;
    private long _longestInSpell;

    /// <inheritdoc/>
    public override IReadOnlyList<RuleCondition> Explain(WetSpell? spell, UnitSystem units)
    {
        var hours = (double)_inside / TimeSpan.TicksPerHour;
        return
        [
            new RuleCondition(
                $"hours at {units.Temperature(_limits.MinTempC, _limits.MaxTempC)} wet or at "
                    + $"{UnitSystem.Share(_limits.MinHumidityPct)} humidity, "
                    + $"breaks up to {BreakInWords}",
                hours,
                "h",
                $"at least {UnitSystem.Hours(_limits.LikelyHours)}",
                hours >= _limits.LikelyHours
            ).From(_limits.LikelyHours),
        ];
    }

    /// <inheritdoc/>
    public override IReadOnlyList<string> Change(PlantingRisk risk, Site site) => OpenWindow is not null
        ?
        [
            $"More than {BreakInWords} that is dry, colder than {site.Units.Temperature(_limits.MinTempC)} or warmer than "
                + $"{site.Units.Temperature(_limits.MaxTempC)} closes the window.",
        ]
        : Asked("of the same kind", site.Units);

    /// <inheritdoc/>
    public override string? Shortfall(in WetSpell ended, UnitSystem units) =>
        _longestInSpell < _limits.LikelyHours * TimeSpan.TicksPerHour
            ? $"too short at {units.Temperature(_limits.MinTempC, _limits.MaxTempC)} to infect"
            : null;

    private protected override void Take(RuleLimits limits) => _limits = (TwoDayLimits)limits;

    private protected override void Judge(in RuleInput input)
    {
        ref readonly var interval = ref input.Interval;
        if (Counts(interval, input.Wetness))
        {
            _inside += interval.LengthTicks;
            _outside = 0;
            _tempSum += interval.TemperatureC!.Value * interval.LengthTicks;
            _rainMm += interval.RainMm ?? 0;
            _lastInside = interval.End;
            OpenOrRaise(input);
        }
        else
        {
            _outside += interval.LengthTicks;
            if (_outside > _limits.LongestBreak.Ticks)
                Break();
        }

        NoteSpell(input.Spell);
        Level = OpenWindow?.Level ?? Level.Clear;
    }

    /// <summary>Keeps the longest stretch of the running spell; what it was is asked after it has ended.</summary>
    private void NoteSpell(in WetSpell? running)
    {
        if (!running.HasValue)
            return;
        ref readonly var spell = ref Nullable.GetValueRefOrDefaultRef(in running);
        if (spell.StartTicks != _spell)
            (_spell, _longestInSpell) = (spell.StartTicks, 0);
        _longestInSpell = Math.Max(_longestInSpell, _inside);
    }

    private protected override void CloseAtEnd(WetSpell? endedSpell) => Break();

    private string BreakInWords => UnitSystem.Hours(_limits.LongestBreak.TotalHours);

    private bool Counts(in WeatherInterval interval, Wetness wetness) =>
        interval.TemperatureC is { } t
        && LimitRounding.Rounded(t) is var rounded
        && rounded >= _limits.MinTempC && rounded <= _limits.MaxTempC
        && (wetness.State == WetnessState.Wet
            || (interval.HumidityPct is { } humidity && LimitRounding.Rounded(humidity) >= _limits.MinHumidityPct));

    private void OpenOrRaise(in RuleInput input)
    {
        var hours = (double)_inside / TimeSpan.TicksPerHour;
        var level = hours >= _limits.SevereHours ? Level.Severe : Level.Likely;
        if (OpenWindow is { } window)
        {
            Update(window with { Level = level, WetHours = hours, RainMm = _rainMm, MeanTempC = _tempSum / _inside });
        }
        else if (hours >= _limits.LikelyHours && input.Susceptibility > 0)
        {
            Open(new InfectionWindow(
                "", "", input.Interval.End, null, level, null, hours, _rainMm, _tempSum / _inside, false, false));
        }
    }

    private void Break()
    {
        if (OpenWindow is not null)
            Close(_lastInside);
        (_inside, _outside, _tempSum, _rainMm) = (0, 0, 0, 0);
    }
}
