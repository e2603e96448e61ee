using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Infection;

/// <summary>
/// Rule <c>wet-hours</c>: rain of at least 3 mm, at least 12.5 wet hours and a mean temperature under 16 °C, unless
/// other limits are set, within one wet spell, on susceptible tissue.
/// Source of the limits: Rossi, Bolognesi, Languasco and Giosuè 2006, Phytopathology 96:155–163 (abstract).
/// The dose curve between the published anchors is assumed.
/// </summary>
/// <param name="planting">The planting's id.</param>
/// <param name="limits">The limits; <c>null</c>: the published ones.</param>
public sealed class WetHoursRule(string planting, WetHoursLimits? limits = null) : InfectionRule(RuleName.WetHours, planting)
{
    private WetHoursLimits _limits = limits ?? new WetHoursLimits();
    private (Curve Wetness, Curve Temperature) _responses = Responses(limits ?? new WetHoursLimits());

    /// <summary>
    /// Wetness response, 0–1: a logistic curve through 0.05 at the least wet time and 0.95 where more adds next to nothing;
    /// 0 below the least. Assumed. With the published limits 1/(1+exp(−0.1659 (W−30.25))).
    /// </summary>
    public double WetnessResponse(double wetHours) => LimitRounding.Rounded(wetHours) < _limits.MinWetHours
        ? 0
        : _responses.Wetness.At(wetHours);

    /// <summary>
    /// Temperature response, 0–1: a logistic curve through 0.95 where cooler adds next to nothing and 0.05 at the highest
    /// mean; 0 from there. Assumed. With the published limits 1/(1+exp(0.7361 (T−12))).
    /// There is no lower limit: infection was seen at 3.1–3.5 °C (Giosuè et al. 2000, Eur. J. Plant Pathol. 106:563–571).
    /// </summary>
    public double TemperatureResponse(double meanTempC) => LimitRounding.Rounded(meanTempC) >= _limits.MaxMeanTempC
        ? 0
        : _responses.Temperature.At(meanTempC);

    /// <summary>The level that belongs to a dose once the minimum is met.</summary>
    public static Level LevelOf(double dose) => dose switch
    {
        < 0.25 => Level.Possible,
        < 0.70 => Level.Likely,
        _ => Level.Severe,
    };

    /// <inheritdoc/>
    public override IReadOnlyList<RuleCondition> Explain(WetSpell? spell, UnitSystem units) =>
        [
            new RuleCondition(
                "rain in the wet spell",
                spell is { NoRainGauge: true } ? null : spell?.RainMm ?? 0,
                "mm",
                spell is { NoRainGauge: true } ? "nothing, as no gauge tells of it" : $"at least {units.Rain(_limits.MinRainMm)}",
                spell is { } one && (one.NoRainGauge || LimitRounding.Rounded(one.RainMm) >= _limits.MinRainMm)
            ).From(_limits.MinRainMm),
            new RuleCondition(
                "wet hours",
                spell?.WetHours ?? 0,
                "h",
                $"at least {UnitSystem.Hours(_limits.MinWetHours)}",
                spell is { } two && LimitRounding.Rounded(two.WetHours) >= _limits.MinWetHours
            ).From(_limits.MinWetHours),
            new(
                "mean temperature while wet",
                spell?.MeanTempC,
                "°C",
                $"below {units.Temperature(_limits.MaxMeanTempC)}",
                spell?.MeanTempC is { } mean && LimitRounding.Rounded(mean) < _limits.MaxMeanTempC),
        ];

    /// <inheritdoc/>
    public override IReadOnlyList<string> Change(PlantingRisk risk, Site site)
    {
        if (risk.Spell is not { } spell)
            return
            [
                risk.Sheltered ? "Wetness at the sensor under the rain shelter starts a wet spell, and the level builds."
                : site.HasRainGauge && !site.Spell.StartsOnAnyWetness ? "Rain starts a wet spell, and the level builds."
                : "Any wetness starts a wet spell, and the level builds.",
            ];
        var over = TimeZoneInfo
            .ConvertTime(spell.End + site.Spell.LongestGap, site.Zone)
            .ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
        var gap = UnitSystem.Hours(site.Spell.LongestGap.TotalHours);
        List<string> lines = [];
        if (OpenWindow is not null)
        {
            if (MoreHours(spell, risk) is var (hours, level))
                lines.Add($"{RuleCondition.Tenths(hours)} more wet hours at this mean make it {level.Word()} (assumed curve).");
            lines.Add($"Drying for more than {gap} closes the window: past {over} if nothing is wet until then.");
            return lines;
        }

        var asked = string.Join(
            " and ",
            Explain(spell, site.Units)
                .Where(condition => condition.Lack is > 0)
                .Select(condition => condition.Unit == "h"
                    ? $"{RuleCondition.Tenths(condition.Lack!.Value)} more wet hours"
                    : $"{condition.LackIn(site.Units)} more rain"));
        var most = site.Units.Temperature(_limits.MaxMeanTempC);
        if (spell.MeanTempC >= _limits.MaxMeanTempC)
            lines.Add(
                $"The mean while wet is {most} or more: {(asked.Length > 0 ? $"{asked} and " : "")}cooling "
                    + "below that would open a window.");
        else if (asked.Length > 0)
            lines.Add($"{asked} at a mean below {most} open a window; warming to {most} or above keeps it shut.");
        lines.Add($"Drying for more than {gap} ends the spell: past {over} if nothing is wet until then.");
        return lines;
    }

    /// <inheritdoc/>
    public override string? Shortfall(in WetSpell ended, UnitSystem units) =>
        MayMeetMinimum(ended) ? "too much of it is unknown to tell whether it could infect"
        : LimitRounding.Rounded(ended.WetHours) < _limits.MinWetHours ? "too short to infect"
        : !ended.NoRainGauge && LimitRounding.Rounded(ended.RainMm) < _limits.MinRainMm ? "too little rain measured to infect"
        : ended.MeanTempC is { } mean && LimitRounding.Rounded(mean) >= _limits.MaxMeanTempC ? "too warm to infect"
        : null;

    /// <inheritdoc/>
    public override string? Lacks => Level == Level.Unknown
        ? "More readings in this wet spell, or its end, end the unknown. Sensors whose pauses are no longer than 'hold' leave no gaps."
        : null;

    private protected override void Take(RuleLimits limits)
    {
        _limits = (WetHoursLimits)limits;
        _responses = Responses(_limits);
    }

    private protected override void Judge(in RuleInput input)
    {
        FractionReached = null;
        if (input.EndedSpell.HasValue && OpenWindow.HasValue)
        {
            Refresh(input.EndedSpell.Value, input.Susceptibility);
            Close(input.EndedSpell.Value.End);
        }

        if (!input.Spell.HasValue)
        {
            Level = Level.Clear; // Between spells nothing builds.
            return;
        }

        ref readonly var spell = ref Nullable.GetValueRefOrDefaultRef(in input.Spell);
        if (OpenWindow.HasValue)
            Refresh(spell, input.Susceptibility);
        else if (input.Susceptibility > 0 && spell.End > LimitsFrom && MeetsMinimum(spell))
            OpenFrom(spell, input);

        if (OpenWindow.HasValue)
        {
            Level = Nullable.GetValueRefOrDefaultRef(in OpenWindow).Level;
        }
        else if (input.Susceptibility <= 0)
        {
            Level = Level.Clear; // A spell on tissue that cannot be infected builds nothing.
        }
        else if (MayMeetMinimum(spell))
        {
            Level = Level.Unknown;
        }
        else
        {
            Level = Level.Building;
            FractionReached = Reached(spell);
        }
    }

    private protected override void CloseAtEnd(WetSpell? endedSpell)
    {
        if (OpenWindow is not null && endedSpell is { } spell)
            Close(spell.End);
    }

    /// <summary>The spell has enough rain, is wet long enough and cool enough.</summary>
    public bool MeetsMinimum(in WetSpell spell) =>
        (spell.NoRainGauge || LimitRounding.Rounded(spell.RainMm) >= _limits.MinRainMm)
        && LimitRounding.Rounded(spell.WetHours) >= _limits.MinWetHours
        && spell.MeanTempC is { } mean && LimitRounding.Rounded(mean) < _limits.MaxMeanTempC;

    /// <summary>
    /// What is known of the spell does not suffice, but too much of it is not known (<see cref="WetSpell.Uncertain"/>), and if that was wet
    /// and cool, it does.
    /// </summary>
    public bool MayMeetMinimum(in WetSpell spell) =>
        spell.Uncertain
        && !MeetsMinimum(spell)
        && MeetsMinimum(spell with
        {
            WetHours = spell.WetHours + spell.UnknownHours,
            MeanTempC = spell.MeanTempC ?? double.NegativeInfinity,
        });

    /// <summary>So many more wet hours lift the level at the present mean temperature.</summary>
    private (double Hours, Level Level)? MoreHours(WetSpell spell, PlantingRisk risk)
    {
        // The assumed dose hardly rises past half as much again.
        for (var more = 0.1; spell.WetHours + more <= 1.5 * _limits.FullWetHours; more += 0.1)
        {
            var level = LevelOf(Dose(spell with { WetHours = spell.WetHours + more }, risk.Susceptibility));
            if (level > risk.Level)
                return (more, level);
        }

        return null;
    }

    private double Reached(in WetSpell spell)
    {
        var wet = spell.WetHours / _limits.MinWetHours;
        var rain = spell.NoRainGauge || _limits.MinRainMm == 0 ? 1 : spell.RainMm / _limits.MinRainMm;
        return Math.Min(1, Math.Min(wet, rain));
    }

    private static (Curve Wetness, Curve Temperature) Responses(WetHoursLimits limits) =>
        (Curve.Through(limits.MinWetHours, limits.FullWetHours), Curve.Through(limits.MaxMeanTempC, limits.FullTempC));

    private void OpenFrom(in WetSpell spell, in RuleInput input)
    {
        var dose = Dose(spell, input.Susceptibility);
        Open(new InfectionWindow(
            "", "", input.Interval.End, null, LevelOf(dose), dose, spell.WetHours, spell.RainMm, spell.MeanTempC,
            spell.Uncertain, spell.NoRainGauge));
    }

    /// <summary>The window takes the spell's sums and keeps its highest dose.</summary>
    private void Refresh(in WetSpell spell, double susceptibility)
    {
        var window = OpenWindow!.Value;
        var dose = Math.Max(window.Dose ?? 0, Dose(spell, susceptibility));
        Update(window with
        {
            Dose = dose,
            Level = LevelOf(dose),
            WetHours = spell.WetHours,
            RainMm = spell.RainMm,
            MeanTempC = spell.MeanTempC,
            Uncertain = spell.Uncertain,
        });
    }

    /// <summary>The assumed dose of a spell, 0–1; 0 without a temperature.</summary>
    /// <param name="spell">The wet spell.</param>
    /// <param name="susceptibility">Factor of the tissue, 0–1.</param>
    public double Dose(in WetSpell spell, double susceptibility) =>
        spell.MeanTempC is { } mean ? WetnessResponse(spell.WetHours) * TemperatureResponse(mean) * susceptibility : 0;

    /// <summary>A logistic curve, rising or falling.</summary>
    private readonly record struct Curve(double Steepness, double Middle)
    {
        /// <summary>
        /// That through 0.05 and 0.95, its steepness to four decimals as it is written down: ln 19 on either side of the middle.
        /// </summary>
        public static Curve Through(double at5Pct, double at95Pct) =>
            new(Math.Round(2 * Math.Log(19) / (at95Pct - at5Pct), 4), (at5Pct + at95Pct) / 2);

        public double At(double value) => 1 / (1 + Math.Exp(-Steepness * (value - Middle)));
    }
}
