using BackyardSentinel.Units;
using static System.FormattableString;
using static BackyardSentinel.Garden.LimitRounding;

namespace BackyardSentinel.Spraying;

/// <summary>A published figure to set a garden's copper against. A benchmark, never law for a garden.</summary>
/// <param name="Name">What it is, with its source.</param>
/// <param name="Value">Its value.</param>
/// <param name="Unit">Its unit.</param>
public sealed record CopperBenchmark(string Name, double Value, string Unit)
{
    /// <summary>Copper in seven years, kg/ha.</summary>
    public static CopperBenchmark EuSevenYears { get; } =
        new("most copper in 7 years in European Union plant protection, Regulation (EU) 2018/1981", 28, "kg/ha");

    /// <summary>Copper in one year, the mean over the seven, kg/ha.</summary>
    public static CopperBenchmark EuMeanYear { get; } =
        new("its mean for one year", 4, "kg/ha");

    /// <summary>Mean copper of European topsoil, mg/kg.</summary>
    public static CopperBenchmark EuTopsoil { get; } =
        new("mean of European Union topsoils, LUCAS survey, Ballabio and others 2018", 16.85, "mg/kg");

    /// <summary>Mean copper of European orchard topsoil, mg/kg.</summary>
    public static CopperBenchmark EuOrchardSoil { get; } =
        new("mean of European Union orchard topsoils, the same survey", 27.32, "mg/kg");

    /// <summary>Threshold above which that survey calls topsoil high, mg/kg.</summary>
    public static CopperBenchmark EuHighSoil { get; } =
        new("threshold for high copper in the same survey", 100, "mg/kg");

    /// <summary>Lower end of the limits for soil under sewage sludge, mg/kg.</summary>
    public static CopperBenchmark EuSludgeLow { get; } =
        new("lower end of the limits for soil under sewage sludge, Directive 86/278/EEC", 50, "mg/kg");

    /// <summary>Upper end of the limits for soil under sewage sludge, mg/kg.</summary>
    public static CopperBenchmark EuSludgeHigh { get; } =
        new("upper end of the same limits", 140, "mg/kg");

    /// <summary>All of them.</summary>
    public static IReadOnlyList<CopperBenchmark> All { get; } =
        [EuSevenYears, EuMeanYear, EuTopsoil, EuOrchardSoil, EuHighSoil, EuSludgeLow, EuSludgeHigh];

    /// <summary>An amount in the benchmark's unit lies above it; the benchmark itself is still within.</summary>
    public bool IsExceededBy(double value) => Rounded(value) > Value;

    /// <summary>A planting's copper beside the benchmarks, in sentences; empty without a canopy area.</summary>
    /// <param name="balance">The planting's copper.</param>
    /// <param name="units">The grower's units.</param>
    public static IReadOnlyList<string> Beside(CopperBalance balance, UnitSystem units)
    {
        if (balance is not { SeasonKgPerHa: { } season, SevenYearKgPerHa: { } seven, SoilMgPerKg: { } soil })
            return [];
        return
        [
            Invariant(
                $"This season {units.MassPerArea(season)} of canopy area, {season / EuMeanYear.Value:0.0} times the yearly mean of {units.MassPerArea(EuMeanYear.Value)} in Regulation (EU) 2018/1981."),
            Invariant(
                $"In seven seasons {units.MassPerArea(seven)}, {(EuSevenYears.IsExceededBy(seven) ? "over" : "within")} its {units.MassPerArea(EuSevenYears.Value)}."),
            Invariant(
                $"If all of it reached the soil, {units.SoilContent(soil)} more in the top {units.Depth(20)}; orchard soils hold {units.SoilContent(EuOrchardSoil.Value)} on average, and {units.SoilContent(EuHighSoil.Value)} is called high."),
            "These are benchmarks made for farmland, not law for a garden; the product's label is.",
        ];
    }
}
