using System.Globalization;
using BackyardSentinel.Infection;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>
/// A level as a box that fills: a dot, an eighth, three eighths, five eighths, full; dashed with a question mark where it is unknown.
/// Its word always stands beside it.
/// </summary>
public static class LevelMark
{
    /// <summary>Draws it.</summary>
    /// <param name="level">The level.</param>
    /// <param name="isCovered">A fresh cover was on the tree: hatched instead of full.</param>
    /// <param name="isSmall">For a line of small type.</param>
    public static IHtmlContent Draw(Level level, bool isCovered = false, bool isSmall = false)
    {
        var filled = level switch
        {
            Level.Unknown => "<text class=\"q\" x=\"7\" y=\"16\">?</text>",
            Level.Clear => "<circle class=\"f\" cx=\"7\" cy=\"18\" r=\"1.6\"/>",
            Level.Building => Bar(18.5, 2.5, isCovered),
            Level.Possible => Bar(13, 8, isCovered),
            Level.Likely => Bar(8, 13, isCovered),
            Level.Severe => Bar(1, 20, isCovered),
        };
        var classes = $"lv{(level >= Level.Possible ? " hot" : "")}{(level == Level.Unknown ? " unk" : "")}{(isSmall ? " s" : "")}";
        return new HtmlString(
            $"<svg class=\"{classes}\" viewBox=\"0 0 14 22\" aria-hidden=\"true\"><rect class=\"o\" x=\"1\" y=\"1\" "
                + $"width=\"12\" height=\"20\"/>{filled}</svg>");
    }

    private static string Bar(double y, double height, bool isCovered) => string.Create(
        CultureInfo.InvariantCulture,
        $"<rect {(isCovered ? "fill=\"url(#hatm)\"" : "class=\"f\"")} x=\"1\" y=\"{y}\" width=\"12\" height=\"{height}\"/>");
}
