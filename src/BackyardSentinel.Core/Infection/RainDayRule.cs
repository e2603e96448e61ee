using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// Rule <c>rain-day</c>: a local calendar day with more than 10 mm of rain and a maximum above 5 °C on susceptible
/// tissue. Source: Giosuè, Spada, Rossi, Carli and Ponti 2000, Eur. J. Plant Pathol. 106:563–571 (abstract); it is
/// known to miss infections on a day of 9.6 mm and on days that stayed at 3.1–3.5 °C.
/// </summary>
public sealed class RainDayRule(string planting, TimeZoneInfo zone, bool hasRainGauge) : InfectionRule(RuleName, planting)
{
    /// <summary>The rule's name.</summary>
    public const string RuleName = "rain-day";

    /// <summary>The day's rain must exceed this, mm.</summary>
    public const double RainAboveMm = 10.0;

    /// <summary>The day's maximum temperature must exceed this, °C.</summary>
    public const double MaxTempAboveC = 5.0;

    private DateTimeOffset midnight = DateTimeOffset.MinValue;
    private double rainMm, tempSum, maxC;
    private int tempCount;
    private long unclear, length;
    private bool fired;

    /// <inheritdoc/>
    public override IReadOnlyList<RuleCondition> Explain(WetSpell? spell, UnitSystem units) => !hasRainGauge
        ? [new("rain of the local day", null, "mm", $"more than {units.Rain(RainAboveMm)}; there is no rain gauge", false)]
        :
        [
            new RuleCondition("rain of the local day", rainMm, "mm", $"more than {units.Rain(RainAboveMm)}", LimitRounding.Rounded(rainMm) > RainAboveMm).From(RainAboveMm),
            new("highest temperature of the local day", tempCount > 0 ? maxC : null, "°C", $"above {units.Temperature(MaxTempAboveC)}", tempCount > 0 && LimitRounding.Rounded(maxC) > MaxTempAboveC),
        ];

    private protected override void Judge(in RuleInput input)
    {
        if (!hasRainGauge)
        {
            Level = Level.Unknown;
            return;
        }

        if (input.Interval.Start >= midnight)
            BeginDay(input.Interval.Start);

        Add(input);
        if (fired)
            Refresh();
        else if (input.Susceptibility > 0 && LimitRounding.Rounded(rainMm) > RainAboveMm && LimitRounding.Rounded(maxC) > MaxTempAboveC)
        {
            fired = true;
            Open(new InfectionWindow(
                "", "", input.Interval.End, null, Level.Likely, null, null, rainMm, MeanC, IsUncertain, false));
        }

        if (OpenWindow is not null && input.Interval.End >= midnight)
            CloseAtMidnight();
        Level = OpenWindow is null ? Level.Clear : Level.Likely;
    }

    private protected override void CloseAtEnd(WetSpell? endedSpell)
    {
        if (OpenWindow is not null)
            CloseAtMidnight();
    }

    /// <summary>An interval that reaches over midnight may open the window after it: such a window has no length.</summary>
    private void CloseAtMidnight() =>
        Close(OpenWindow is { } window && window.OpenedAt > midnight ? window.OpenedAt : midnight);

    private double? MeanC => tempCount > 0 ? tempSum / tempCount : null;

    private bool IsUncertain => unclear > WetSpellTracker.UncertainShare * length;

    private void BeginDay(DateTimeOffset at)
    {
        midnight = LocalDay.EndOf(at, zone);
        (rainMm, tempSum, tempCount, maxC) = (0, 0, 0, double.NegativeInfinity);
        (unclear, length, fired) = (0, 0, false);
    }

    private void Add(in RuleInput input)
    {
        var interval = input.Interval;
        length += interval.Length.Ticks;
        if (interval.RainMm is { } rain && input.Wetness.State != Weather.WetnessState.Frozen)
            rainMm += rain;
        if (interval.TemperatureC is { } t)
        {
            tempSum += t;
            tempCount++;
            maxC = Math.Max(maxC, t);
        }
        else
        {
            unclear += interval.Length.Ticks;
        }
    }

    private void Refresh()
    {
        if (OpenWindow is { } window)
            Update(window with { RainMm = rainMm, MeanTempC = MeanC, Uncertain = IsUncertain });
    }
}
