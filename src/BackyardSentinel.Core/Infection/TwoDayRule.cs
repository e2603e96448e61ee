using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// Rule <c>two-day</c>: a stretch of intervals at 8–16 °C that are wet or at 90 % humidity or more, broken by more than
/// one hour outside. From 24 h infection is likely, from 48 h severe. Common practice, no source.
/// </summary>
public sealed class TwoDayRule(string planting) : InfectionRule(RuleName.TwoDay, planting)
{
    /// <summary>Lowest and highest interval mean that counts, °C.</summary>
    public const double MinTempC = 8, MaxTempC = 16;

    /// <summary>Humidity from which an interval counts even if it is not wet, %.</summary>
    public const double MinHumidityPct = 90;

    /// <summary>Hours from which infection is likely, and from which severe.</summary>
    public const double LikelyHours = 24, SevereHours = 48;

    /// <summary>Time outside that a stretch survives.</summary>
    public static readonly TimeSpan LongestBreak = TimeSpan.FromHours(1);

    private long _inside, _outside;
    private double _tempSum, _rainMm;
    private DateTimeOffset _lastInside;
    private DateTimeOffset? _spell;
    private long _longestInSpell;

    /// <inheritdoc/>
    public override IReadOnlyList<RuleCondition> Explain(WetSpell? spell, UnitSystem units)
    {
        var hours = (double)_inside / TimeSpan.TicksPerHour;
        return
        [
            new RuleCondition(
                $"hours at {units.Temperature(MinTempC, MaxTempC)} wet or at {UnitSystem.Share(MinHumidityPct)} humidity, breaks up to 1 h",
                hours,
                "h",
                "at least 24 h",
                hours >= LikelyHours
            ).From(LikelyHours),
        ];
    }

    /// <inheritdoc/>
    public override IReadOnlyList<string> Change(PlantingRisk risk, Site site) => OpenWindow is not null
        ?
        [
            $"More than 1 h that is dry, colder than {site.Units.Temperature(MinTempC)} or warmer than "
                + $"{site.Units.Temperature(MaxTempC)} closes the window.",
        ]
        : Asked("of the same kind", site.Units);

    /// <inheritdoc/>
    public override string? Shortfall(in WetSpell ended, UnitSystem units) =>
        _longestInSpell < LikelyHours * TimeSpan.TicksPerHour
            ? $"too short at {units.Temperature(MinTempC, MaxTempC)} to infect"
            : null;

    private protected override void Judge(in RuleInput input)
    {
        var interval = input.Interval;
        if (Counts(input))
        {
            _inside += interval.Length.Ticks;
            _outside = 0;
            _tempSum += interval.TemperatureC!.Value * interval.Length.Ticks;
            _rainMm += interval.RainMm ?? 0;
            _lastInside = interval.End;
            OpenOrRaise(input);
        }
        else
        {
            _outside += interval.Length.Ticks;
            if (_outside > LongestBreak.Ticks)
                Break();
        }

        NoteSpell(input.Spell);
        Level = OpenWindow?.Level ?? Level.Clear;
    }

    /// <summary>Keeps the longest stretch of the running spell; what it was is asked after it has ended.</summary>
    private void NoteSpell(in WetSpell? running)
    {
        if (running is not { } spell)
            return;
        if (spell.Start != _spell)
            (_spell, _longestInSpell) = (spell.Start, 0);
        _longestInSpell = Math.Max(_longestInSpell, _inside);
    }

    private protected override void CloseAtEnd(WetSpell? endedSpell) => Break();

    private static bool Counts(in RuleInput input) =>
        input.Interval.TemperatureC is { } t
        && LimitRounding.Rounded(t) is >= MinTempC and <= MaxTempC
        && (input.Wetness.State == WetnessState.Wet
            || (input.Interval.HumidityPct is { } humidity && LimitRounding.Rounded(humidity) >= MinHumidityPct));

    private void OpenOrRaise(in RuleInput input)
    {
        var hours = (double)_inside / TimeSpan.TicksPerHour;
        var level = hours >= SevereHours ? Level.Severe : Level.Likely;
        if (OpenWindow is { } window)
        {
            Update(window with { Level = level, WetHours = hours, RainMm = _rainMm, MeanTempC = _tempSum / _inside });
        }
        else if (hours >= LikelyHours && input.Susceptibility > 0)
        {
            Open(new InfectionWindow(
                "", default, input.Interval.End, null, level, null, hours, _rainMm, _tempSum / _inside, false, false));
        }
    }

    private void Break()
    {
        if (OpenWindow is not null)
            Close(_lastInside);
        (_inside, _outside, _tempSum, _rainMm) = (0, 0, 0, 0);
    }
}
