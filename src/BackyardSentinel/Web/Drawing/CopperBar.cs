using System.Globalization;
using System.Net;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>A planting's copper beside the benchmark: filled what it carries, hatched what the next spray would bring.</summary>
public static class CopperBar
{
    /// <summary>Draws it.</summary>
    /// <param name="carried">What it carries, kg/ha.</param>
    /// <param name="next">What the next spray would bring, kg/ha.</param>
    /// <param name="benchmark">The benchmark, kg/ha.</param>
    /// <param name="label">The benchmark in words, under its mark.</param>
    /// <param name="title">What the drawing says, in words.</param>
    public static IHtmlContent Draw(double carried, double next, double benchmark, string label, string title)
    {
        // A quarter of the width is left where all of it is below the benchmark.
        var whole = Math.Max(carried + next, benchmark * 1.5);
        return new HtmlString(
            $"<svg class=\"strip\" width=\"100%\" height=\"44\" role=\"img\" aria-label=\"{WebUtility.HtmlEncode(title)}\"><rect "
                + $"class=\"cov\" x=\"0\" width=\"{At(carried)}\" y=\"4\" height=\"16\"/><rect class=\"covr\" fill=\"url(#hat)\" "
                + $"x=\"{At(carried)}\" width=\"{At(next)}\" y=\"4\" height=\"16\"/><line class=\"ax\" x1=\"0\" x2=\"100%\" y1=\"20\" "
                + $"y2=\"20\"/><line class=\"halo\" x1=\"{At(benchmark)}\" x2=\"{At(benchmark)}\" y1=\"0\" y2=\"25\"/><line "
                + $"class=\"now\" x1=\"{At(benchmark)}\" x2=\"{At(benchmark)}\" y1=\"0\" y2=\"25\"/><text x=\"0\" "
                + $"y=\"38\">0</text><text class=\"key\" x=\"{At(benchmark)}\" y=\"38\" "
                + $"text-anchor=\"middle\">{WebUtility.HtmlEncode(label)}</text></svg>");

        string At(double kgPerHa) => (kgPerHa / whole * 100).ToString("0.0", CultureInfo.InvariantCulture) + "%";
    }
}
