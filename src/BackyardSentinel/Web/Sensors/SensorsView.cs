using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Sensors;

/// <summary>The page Sensors, put into words.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Headline">Is anything wrong?</param>
/// <param name="AsOf">As of when.</param>
/// <param name="Troubles">What is wrong with more than one series: clock, several silent.</param>
/// <param name="Series">The series.</param>
/// <param name="Hours">The last 24 hours in figures: the hour, and a figure for each series.</param>
/// <param name="Silences">When a series was silent in the last week: series, from, to.</param>
/// <param name="AskPath">Where a message can be shown.</param>
/// <param name="SetUpPath">Where the installation is looked over.</param>
public sealed record SensorsView(
    Leaf Leaf,
    string Headline,
    string AsOf,
    IReadOnlyList<string> Troubles,
    IReadOnlyList<SeriesView> Series,
    IReadOnlyList<(string Hour, IReadOnlyList<string> Figures)> Hours,
    IReadOnlyList<(string Series, string From, string To)> Silences,
    string AskPath,
    string SetUpPath);

/// <summary>One series.</summary>
/// <param name="Name">What it measures.</param>
/// <param name="Label">What the grower calls the sensor; <c>null</c>: it has no name.</param>
/// <param name="Value">Its last value, or that none came.</param>
/// <param name="Age">How old that is, and how often values come.</param>
/// <param name="Spark">The last 24 hours; <c>null</c>: nothing came in them.</param>
/// <param name="Range">Their lowest and highest value.</param>
/// <param name="Battery">What it tells of its battery; <c>null</c>: nothing, or it is low and stands with what is wrong.</param>
/// <param name="Topic">Its topic, with the path in the message.</param>
/// <param name="Wrong">What is wrong with it and what to do, the newest first.</param>
public sealed record SeriesView(
    string Name,
    string? Label,
    string Value,
    string Age,
    IHtmlContent? Spark,
    string Range,
    string? Battery,
    string Topic,
    IReadOnlyList<WrongValue> Wrong);

/// <summary>Something that is wrong with a series.</summary>
/// <param name="Text">What, why, and what to do.</param>
/// <param name="Sent">The message as it was sent; <c>null</c>: there is none to show.</param>
public sealed record WrongValue(IHtmlContent Text, string? Sent)
{
    internal WrongValue(string text)
        : this(new HtmlContentBuilder().Append(text), null)
    {
    }
}
