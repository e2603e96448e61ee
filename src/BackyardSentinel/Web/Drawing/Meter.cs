using System.Globalization;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>How much of what is asked is there: a bar with a mark at what is asked.</summary>
public static class Meter
{
    /// <summary>The mark stands here, %, so that more than is asked has room.</summary>
    private const double Mark = 72;

    /// <summary>Draws it; the figures stand beside it as text.</summary>
    /// <param name="share">How much of what is asked is there, from 0; above 1 it runs past the mark.</param>
    public static IHtmlContent Draw(double share)
    {
        var width = Math.Clamp(share * Mark, 0, 100).ToString("0.0", CultureInfo.InvariantCulture);
        return new HtmlString(
            $"<svg class=\"meter\" width=\"100%\" height=\"14\" aria-hidden=\"true\"><rect class=\"o\" x=\"1\" y=\"2\" width=\"99%\" "
                + $"height=\"10\"/><rect class=\"f\" x=\"1\" y=\"4.5\" width=\"{width}%\" height=\"5\"/><line class=\"m\" x1=\"72%\" "
                + $"x2=\"72%\" y1=\"0\" y2=\"14\"/></svg>");
    }
}
