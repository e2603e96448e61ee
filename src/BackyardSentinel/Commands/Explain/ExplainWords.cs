using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Units;

namespace BackyardSentinel.Commands.Explain;

/// <summary>Moments, ages, amounts and names as an explanation writes them, the same in every culture.</summary>
internal static class ExplainWords
{
    /// <summary>A moment in local time, to the minute.</summary>
    public static string Local(DateTimeOffset moment, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(moment, zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    /// <summary>A local day.</summary>
    public static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>A span of time to the minute, from two days on to the hour.</summary>
    public static string Span(TimeSpan span)
    {
        var minutes = (long)Math.Max(0, Math.Round(span.TotalMinutes));
        return minutes switch
        {
            < 60 => string.Create(CultureInfo.InvariantCulture, $"{minutes} min"),
            < 2880 => string.Create(CultureInfo.InvariantCulture, $"{minutes / 60} h {minutes % 60:00} min"),
            _ => string.Create(CultureInfo.InvariantCulture, $"{minutes / 1440} days {minutes / 60 % 24} h"),
        };
    }

    /// <summary>A figure to one decimal.</summary>
    public static string Figure(double figure) => figure.ToString("0.0", CultureInfo.InvariantCulture);

    /// <summary>How much is still missing, to one decimal and never rounded down to nothing.</summary>
    public static string Lack(double figure) => Figure(Math.Ceiling(Math.Round(figure, 6) * 10) / 10);

    /// <summary>How much a condition still asks for, with its unit, rounded up.</summary>
    public static string Lack(RuleCondition condition, UnitSystem units)
    {
        var lack = condition.Lack!.Value;
        if (condition.Unit != "mm")
            return $"{Lack(lack)} {condition.Unit}";
        var (depth, step) = (units.UnitOf(Dimension.Depth), units == UnitSystem.Us ? 100 : 10);
        return units.Rain(depth.ToReckoned(Math.Ceiling(Math.Round(depth.FromReckoned(lack), 6) * step) / step));
    }

    /// <summary>A condition's figure with its unit.</summary>
    public static string Value(RuleCondition condition, double figure, UnitSystem units) => condition.Unit switch
    {
        "mm" => units.Rain(figure),
        "°C" => units.Temperature(figure),
        _ => $"{Figure(figure)} {condition.Unit}",
    };

    /// <summary>The unit in which chill is counted.</summary>
    public static string Unit(ChillModel chill) => chill switch
    {
        ChillModel.Portions => "chill portions",
        ChillModel.Utah => "Utah units",
        ChillModel.PositiveUtah => "positive Utah units",
        ChillModel.Hours => "chilling hours",
    };
}
