using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>A small line of the last hours beside a figure that says the same.</summary>
public static class Spark
{
    private const double Height = 32;

    /// <summary>Draws it; where nothing came the line breaks.</summary>
    /// <param name="title">What it shows, for those who do not see it.</param>
    /// <param name="values">Values at even steps, oldest first; <c>null</c>: nothing came.</param>
    public static IHtmlContent Draw(string title, IReadOnlyList<double?> values)
    {
        var known = values.OfType<double>().DefaultIfEmpty(0).ToList();
        var (low, high) = (known.Min(), known.Max());
        var scale = new Scale(low, high > low ? high : low + 1, 1);
        var path = Svg.Path(values.Select((value, i) => value is { } v
            ? ((double, double)?)(i * 1000.0 / Math.Max(1, values.Count - 1), 2 + scale.At(v, Height - 4))
            : null));
        return new HtmlString(
            $"<svg class=\"strip\" role=\"img\" aria-label=\"{Svg.Safe(title)}\" width=\"100%\" height=\"32\" viewBox=\"0 0 1000 32\" preserveAspectRatio=\"none\"><path class=\"spark\" d=\"{path}\"/></svg>");
    }
}
