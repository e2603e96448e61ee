using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

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
    public static Sentence Span(TimeSpan span)
    {
        var minutes = (long)Math.Max(0, Math.Round(span.TotalMinutes));
        return minutes switch
        {
            < 60 => $"{new Figure(FormattableString.Invariant($"{minutes} min"))}",
            < 2880 => $"{new Figure(FormattableString.Invariant($"{minutes / 60} h {minutes % 60:00} min"))}",
            _ => (Sentence)$"{minutes / 1440} days {minutes / 60 % 24} h",
        };
    }

    /// <summary>A figure to one decimal.</summary>
    public static string Figure(double figure) => figure.ToString("0.0", CultureInfo.InvariantCulture);

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
