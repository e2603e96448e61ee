using BackyardSentinel.Units;
using BackyardSentinel.Wording;
using static System.FormattableString;
using static BackyardSentinel.Garden.LimitRounding;

namespace BackyardSentinel.Spraying;

/// <summary>Published figures to set a garden's copper against: benchmarks, never law for a garden.</summary>
public static class CopperBenchmark
{
    /// <summary>Most copper in 7 years in European Union plant protection, kg/ha. Regulation (EU) 2018/1981.</summary>
    public const double SevenYearsKgPerHa = 28;

    /// <summary>Its mean for one year, kg/ha.</summary>
    private const double MeanYearKgPerHa = 4;

    /// <summary>Mean copper of European Union orchard topsoils, mg/kg. LUCAS survey, Ballabio and others 2018.</summary>
    private const double OrchardSoilMgPerKg = 27.32;

    /// <summary>Threshold above which that survey calls topsoil high, mg/kg.</summary>
    private const double HighSoilMgPerKg = 100;

    /// <summary>More in seven seasons than the benchmark; <c>false</c> also where the canopy area is not known.</summary>
    /// <param name="balance">The planting's copper.</param>
    public static bool IsOver(CopperBalance balance) => balance.SevenYearKgPerHa is { } seven && Rounded(seven) > SevenYearsKgPerHa;

    /// <summary>A planting's copper beside the benchmarks, in sentences; empty without a canopy area.</summary>
    /// <param name="balance">The planting's copper.</param>
    /// <param name="units">The grower's units.</param>
    public static IReadOnlyList<Sentence> Beside(CopperBalance balance, UnitSystem units)
    {
        if (balance is not { SeasonKgPerHa: { } season, SevenYearKgPerHa: { } seven, SoilMgPerKg: { } soil })
            return [];
        return
        [
            $"This season {new Figure(units.MassPerArea(season))} of canopy area, "
                + $"{new Figure(Invariant($"{season / MeanYearKgPerHa:0.0}"))} times the yearly mean of "
                + $"{new Figure(units.MassPerArea(MeanYearKgPerHa))} in Regulation (EU) 2018/1981.",
            IsOver(balance)
                ? (Sentence)($"In seven seasons {new Figure(units.MassPerArea(seven))}, over its "
                    + $"{new Figure(units.MassPerArea(SevenYearsKgPerHa))}.")
                : $"In seven seasons {new Figure(units.MassPerArea(seven))}, within its "
                    + $"{new Figure(units.MassPerArea(SevenYearsKgPerHa))}.",
            $"If all of it reached the soil, {new Figure(units.SoilContent(soil))} more in the top {new Figure(units.Depth(20))}; "
                + $"orchard soils hold {new Figure(units.SoilContent(OrchardSoilMgPerKg))} on average, and "
                + $"{new Figure(units.SoilContent(HighSoilMgPerKg))} is called high.",
            $"These are benchmarks made for farmland, not law for a garden; the product's label is.",
        ];
    }
}
