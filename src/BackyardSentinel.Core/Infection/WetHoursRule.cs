using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Infection;

/// <summary>
/// Rule <c>wet-hours</c>: rain of at least 3 mm, at least 12.5 wet hours and a mean temperature under 16 °C within one
/// wet spell, on susceptible tissue.
/// Source of the limits: Rossi, Bolognesi, Languasco and Giosuè 2006, Phytopathology 96:155–163 (abstract).
/// The dose curve between the published anchors is assumed.
/// </summary>
public sealed class WetHoursRule(string planting) : InfectionRule(RuleName.WetHours, planting)
{
    /// <summary>Least rain of the spell, mm.</summary>
    public const double MinRainMm = 3.0;

    /// <summary>Least wet time of the spell, h.</summary>
    public const double MinWetHours = 12.5;

    /// <summary>The mean temperature over wet time must be below this, °C.</summary>
    public const double MaxMeanTempC = 16.0;

    /// <summary>How far ahead longer wetness is looked at; the assumed dose hardly rises past it, h.</summary>
    private const double LongestWetHours = 72;

    /// <summary>
    /// Wetness response, 0–1: a logistic curve through 0.05 at 12.5 h and 0.95 at 48 h; 0 below 12.5 h. Assumed.
    /// </summary>
    public static double WetnessResponse(double wetHours) =>
        LimitRounding.Rounded(wetHours) < MinWetHours ? 0 : 1 / (1 + Math.Exp(-0.1659 * (wetHours - 30.25)));

    /// <summary>
    /// Temperature response, 0–1: a logistic curve through 0.95 at 8 °C and 0.5 at 12 °C; 0 from 16 °C. Assumed.
    /// There is no lower limit: infection was seen at 3.1–3.5 °C (Giosuè et al. 2000, Eur. J. Plant Pathol. 106:563–571).
    /// </summary>
    public static double TemperatureResponse(double meanTempC) =>
        LimitRounding.Rounded(meanTempC) >= MaxMeanTempC ? 0 : 1 / (1 + Math.Exp(0.7361 * (meanTempC - 12)));

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
                spell is { NoRainGauge: true } ? "nothing, as no gauge tells of it" : $"at least {units.Rain(MinRainMm)}",
                spell is { } one && (one.NoRainGauge || LimitRounding.Rounded(one.RainMm) >= MinRainMm)
            ).From(MinRainMm),
            new RuleCondition(
                "wet hours",
                spell?.WetHours ?? 0,
                "h",
                "at least 12.5 h",
                spell is { } two && LimitRounding.Rounded(two.WetHours) >= MinWetHours
            ).From(MinWetHours),
            new(
                "mean temperature while wet",
                spell?.MeanTempC,
                "°C",
                $"below {units.Temperature(MaxMeanTempC)}",
                spell?.MeanTempC is { } mean && LimitRounding.Rounded(mean) < MaxMeanTempC),
        ];

    /// <inheritdoc/>
    public override IReadOnlyList<string> Change(PlantingRisk risk, Site site)
    {
        if (risk.Spell is not { } spell)
            return
            [
                risk.Sheltered ? "Wetness at the sensor under the rain shelter starts a wet spell, and the level builds."
                : site.HasRainGauge && !site.SpellStartsOnAnyWetness ? "Rain starts a wet spell, and the level builds."
                : "Any wetness starts a wet spell, and the level builds.",
            ];
        var over = TimeZoneInfo
            .ConvertTime(spell.End + WetSpellTracker.LongestGap, site.Zone)
            .ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
        List<string> lines = [];
        if (OpenWindow is not null)
        {
            if (MoreHours(spell, risk) is var (hours, level))
                lines.Add($"{RuleCondition.Tenths(hours)} more wet hours at this mean make it {level.Word()} (assumed curve).");
            lines.Add($"Drying for more than 4 h closes the window: past {over} if nothing is wet until then.");
            return lines;
        }

        var asked = string.Join(
            " and ",
            Explain(spell, site.Units)
                .Where(condition => condition.Lack is > 0)
                .Select(condition => condition.Unit == "h"
                    ? $"{RuleCondition.Tenths(condition.Lack!.Value)} more wet hours"
                    : $"{condition.LackIn(site.Units)} more rain"));
        var most = site.Units.Temperature(MaxMeanTempC);
        if (spell.MeanTempC >= MaxMeanTempC)
            lines.Add($"The mean while wet is {most} or more: {(asked.Length > 0 ? $"{asked} and " : "")}cooling "
                + "below that would open a window.");
        else if (asked.Length > 0)
            lines.Add($"{asked} at a mean below {most} open a window; warming to {most} or above keeps it shut.");
        lines.Add($"Drying for more than 4 h ends the spell: past {over} if nothing is wet until then.");
        return lines;
    }

    /// <inheritdoc/>
    public override string? Shortfall(in WetSpell ended, UnitSystem units) =>
        LimitRounding.Rounded(ended.WetHours) < MinWetHours ? "too short to infect"
        : !ended.NoRainGauge && LimitRounding.Rounded(ended.RainMm) < MinRainMm ? "too little rain to infect"
        : ended.MeanTempC is { } mean && LimitRounding.Rounded(mean) >= MaxMeanTempC ? "too warm to infect"
        : null;

    private protected override void Judge(in RuleInput input)
    {
        FractionReached = null;
        if (input.EndedSpell is { } ended && OpenWindow is not null)
        {
            Refresh(ended, input.Susceptibility);
            Close(ended.End);
        }

        if (input.Spell is not { } spell)
        {
            Level = Level.Clear; // Between spells nothing builds.
            return;
        }

        if (OpenWindow is not null)
            Refresh(spell, input.Susceptibility);
        else if (input.Susceptibility > 0 && MeetsMinimum(spell))
            OpenFrom(spell, input);

        if (OpenWindow is { } window)
        {
            Level = window.Level;
        }
        else
        {
            // A spell on tissue that cannot be infected builds nothing.
            Level = input.Susceptibility > 0 ? Level.Building : Level.Clear;
            FractionReached = input.Susceptibility > 0 ? Reached(spell) : null;
        }
    }

    private protected override void CloseAtEnd(WetSpell? endedSpell)
    {
        if (OpenWindow is not null && endedSpell is { } spell)
            Close(spell.End);
    }

    /// <summary>The spell has enough rain, is wet long enough and cool enough.</summary>
    public static bool MeetsMinimum(in WetSpell spell) =>
        (spell.NoRainGauge || LimitRounding.Rounded(spell.RainMm) >= MinRainMm)
        && LimitRounding.Rounded(spell.WetHours) >= MinWetHours
        && spell.MeanTempC is { } mean && LimitRounding.Rounded(mean) < MaxMeanTempC;

    /// <summary>So many more wet hours lift the level at the present mean temperature.</summary>
    private static (double Hours, Level Level)? MoreHours(WetSpell spell, PlantingRisk risk)
    {
        for (var more = 0.1; spell.WetHours + more <= LongestWetHours; more += 0.1)
        {
            var level = LevelOf(Dose(spell with { WetHours = spell.WetHours + more }, risk.Susceptibility));
            if (level > risk.Level)
                return (more, level);
        }

        return null;
    }

    private static double Reached(in WetSpell spell)
    {
        var wet = spell.WetHours / MinWetHours;
        var rain = spell.NoRainGauge ? 1 : spell.RainMm / MinRainMm;
        return Math.Min(1, Math.Min(wet, rain));
    }

    private void OpenFrom(in WetSpell spell, in RuleInput input)
    {
        var dose = Dose(spell, input.Susceptibility);
        Open(new InfectionWindow(
            "", default, input.Interval.End, null, LevelOf(dose), dose, spell.WetHours, spell.RainMm, spell.MeanTempC,
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
    public static double Dose(in WetSpell spell, double susceptibility) =>
        spell.MeanTempC is { } mean ? WetnessResponse(spell.WetHours) * TemperatureResponse(mean) * susceptibility : 0;
}
