using System.Globalization;
using System.Text;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>What fills a stretch of a day's bar.</summary>
public enum SprayHours
{
    /// <summary>Rain by the forecast.</summary>
    Rain,

    /// <summary>Too much wind.</summary>
    Windy,

    /// <summary>Frost.</summary>
    Frost,

    /// <summary>Fit for spraying.</summary>
    Fit,
}

/// <summary>A stretch of a day.</summary>
/// <param name="From">From this hour of the local day, 0 to 24.</param>
/// <param name="To">To this hour, above the other.</param>
/// <param name="What">What fills it.</param>
public readonly record struct SprayStretch(double From, double To, SprayHours What);

/// <summary>One day of the timetable as a bar of 24 hours. The hours stand beside it as text.</summary>
public static class SprayDayBar
{
    /// <summary>The hours above the bars.</summary>
    public static IHtmlContent Hours { get; } = new HtmlString(
        "<svg class=\"strip\" width=\"100%\" height=\"16\" aria-hidden=\"true\"><text x=\"0\" y=\"12\">0</text><text x=\"25%\" y=\"12\" "
            + "text-anchor=\"middle\">6</text><text x=\"50%\" y=\"12\" text-anchor=\"middle\">12</text><text x=\"75%\" y=\"12\" "
            + "text-anchor=\"middle\">18</text><text x=\"100%\" y=\"12\" text-anchor=\"end\">24</text></svg>");

    /// <summary>Draws a day.</summary>
    /// <param name="stretches">What fills it; fit hours lie above the rest.</param>
    public static IHtmlContent Draw(IEnumerable<SprayStretch> stretches)
    {
        var svg = new StringBuilder(
            "<svg class=\"strip\" width=\"100%\" height=\"26\" aria-hidden=\"true\"><line class=\"ax\" x1=\"0\" "
                + "x2=\"100%\" y1=\"20\" y2=\"20\"/>");
        foreach (var hour in new[] { 0, 6, 12, 18, 24 })
            svg.Append(CultureInfo.InvariantCulture, $"<line class=\"hr\" x1=\"{At(hour)}\" x2=\"{At(hour)}\" y1=\"2\" y2=\"24\"/>");
        foreach (var (from, to, what) in stretches.OrderBy(one => one.What))
            svg.Append(what switch
            {
                SprayHours.Rain => Bar("rainf", from, to, 6, 14),
                SprayHours.Windy => Bar("gap", from, to, 6, 14),
                SprayHours.Frost => $"<line class=\"chill fc\" x1=\"{At(from)}\" x2=\"{At(to)}\" y1=\"20\" y2=\"20\" stroke-width=\"4\"/>",
                SprayHours.Fit => Bar("seen", from, to, 3, 17),
            });
        return new HtmlString(svg.Append("</svg>").ToString());
    }

    private static string Bar(string look, double from, double to, int top, int height) => string.Create(
        CultureInfo.InvariantCulture,
        $"<rect class=\"{look}\" x=\"{At(from)}\" width=\"{At(to - from)}\" y=\"{top}\" height=\"{height}\"/>");

    private static string At(double hour) => (hour / 24 * 100).ToString("0.0", CultureInfo.InvariantCulture) + "%";
}
