using System.Globalization;
using System.Net;
using System.Text;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>
/// Writes a drawing that is as wide as its place: x in percent of the width, y in px, so that type and heights stay the same at
/// every width. Every text is escaped, every number written alike whatever the culture.
/// </summary>
internal sealed class Svg
{
    private readonly StringBuilder _text = new();

    /// <summary>Begins a drawing with what it says for those who do not see it.</summary>
    /// <param name="id">Begins the ids in it; unique on the page.</param>
    /// <param name="height">px.</param>
    /// <param name="title">What it is.</param>
    /// <param name="news">What it shows, in sentences.</param>
    public Svg(string id, int height, string title, string news) => _text.Append(
        CultureInfo.InvariantCulture,
        $"<svg class=\"strip\" width=\"100%\" height=\"{height}\" role=\"img\" aria-labelledby=\"{id}-t {id}-d\"><title "
            + $"id=\"{id}-t\">{Safe(title)}</title><desc id=\"{id}-d\">{Safe(news)}</desc>");

    /// <summary>A line.</summary>
    /// <param name="look">Its classes.</param>
    /// <param name="x1">From, %.</param>
    /// <param name="x2">To, %.</param>
    /// <param name="y1">From, px.</param>
    /// <param name="y2">To, px.</param>
    /// <param name="dashes">Dashes of its own; <c>null</c>: as the class has it.</param>
    public void Line(string look, double x1, double x2, double y1, double y2, string? dashes = null) => _text.Append(
        CultureInfo.InvariantCulture,
        $"<line class=\"{look}\" x1=\"{x1:0.##}%\" x2=\"{x2:0.##}%\" y1=\"{y1:0.#}\" "
            + $"y2=\"{y2:0.#}\"{(dashes is null ? "" : $" stroke-dasharray=\"{dashes}\"")}/>");

    /// <summary>A box.</summary>
    /// <param name="look">Its classes.</param>
    /// <param name="x">From, %.</param>
    /// <param name="width">%.</param>
    /// <param name="y">Its top, px.</param>
    /// <param name="height">px.</param>
    /// <param name="fill">A pattern or <c>none</c>; <c>null</c>: as the class has it.</param>
    public void Box(string look, double x, double width, double y, double height, string? fill = null) => _text.Append(
        CultureInfo.InvariantCulture,
        $"<rect class=\"{look}\"{(fill is null ? "" : $" fill=\"{fill}\"")} x=\"{x:0.##}%\" width=\"{Math.Max(0, width):0.##}%\" "
            + $"y=\"{y:0.#}\" height=\"{Math.Max(0, height):0.#}\"/>");

    /// <summary>A dot.</summary>
    public void Dot(string look, double x, double y, double radius) => _text.Append(
        CultureInfo.InvariantCulture, $"<circle class=\"{look}\" cx=\"{x:0.##}%\" cy=\"{y:0.#}\" r=\"{radius:0.#}\"/>");

    /// <summary>A text.</summary>
    /// <param name="look">Its classes; <c>null</c>: small and soft.</param>
    /// <param name="x">Where it stands, %.</param>
    /// <param name="y">Its foot, px.</param>
    /// <param name="text">The text.</param>
    /// <param name="dx">So many px beside it.</param>
    /// <param name="anchor"><c>middle</c> or <c>end</c>; <c>null</c>: it begins there.</param>
    public void Text(string? look, double x, double y, string text, double dx = 0, string? anchor = null) => _text.Append(
        CultureInfo.InvariantCulture,
        $"<text{(look is null ? "" : $" class=\"{look}\"")} "
            + $"x=\"{x:0.##}%\"{(dx == 0 ? "" : FormattableString.Invariant($" dx=\"{dx:0.#}\""))} "
            + $"y=\"{y:0.#}\"{(anchor is null ? "" : $" text-anchor=\"{anchor}\"")}>{Safe(text)}</text>");

    /// <summary>A text in the left margin, which does not move with the width.</summary>
    public void Margin(string? look, double xPx, double y, string text, string? anchor = null) => _text.Append(
        CultureInfo.InvariantCulture,
        $"<text{(look is null ? "" : $" class=\"{look}\"")} x=\"{xPx:0.#}\" "
            + $"y=\"{y:0.#}\"{(anchor is null ? "" : $" text-anchor=\"{anchor}\"")}>{Safe(text)}</text>");

    /// <summary>Curves: a thousand wide, stretched over the width.</summary>
    /// <param name="y">Their top, px.</param>
    /// <param name="height">px.</param>
    /// <param name="curves">Classes and path of each.</param>
    public void Curves(double y, double height, IEnumerable<(string Look, string Path)> curves)
    {
        _text.Append(
            CultureInfo.InvariantCulture,
            $"<svg x=\"0\" y=\"{y:0.#}\" width=\"100%\" height=\"{height:0.#}\" viewBox=\"0 0 1000 {height:0.#}\" "
                + $"preserveAspectRatio=\"none\" overflow=\"visible\">");
        foreach (var (look, path) in curves)
        {
            if (path.Length > 0)
                _text.Append(CultureInfo.InvariantCulture, $"<path class=\"{look}\" d=\"{path}\"/>");
        }

        _text.Append("</svg>");
    }

    /// <summary>The whole drawing.</summary>
    public IHtmlContent Finish() => new HtmlString(_text.Append("</svg>").ToString());

    /// <summary>A path through points, x in ‰ of the width and y in px; it breaks where there is none.</summary>
    public static string Path(IEnumerable<(double X, double Y)?> points)
    {
        var path = new StringBuilder();
        var down = false;
        foreach (var point in points)
        {
            if (point is { } p)
                path.Append(CultureInfo.InvariantCulture, $"{(down ? 'L' : 'M')}{p.X:0.#} {p.Y:0.#}");
            down = point is not null;
        }

        return path.ToString();
    }

    /// <summary>A band between a lower and an upper line, closed piece by piece where there is a gap.</summary>
    public static string Band(IEnumerable<(double X, double Low, double High)?> points)
    {
        var path = new StringBuilder();
        List<(double X, double Low, double High)> piece = [];
        foreach (var point in points.Append(null))
        {
            if (point is { } p)
            {
                piece.Add(p);
                continue;
            }

            if (piece.Count > 1)
            {
                path.Append(Path(piece.Select(one => ((double, double)?)(one.X, one.High))));
                for (var i = piece.Count - 1; i >= 0; i--)
                    path.Append(CultureInfo.InvariantCulture, $"L{piece[i].X:0.#} {piece[i].Low:0.#}");
                path.Append('Z');
            }

            piece.Clear();
        }

        return path.ToString();
    }

    /// <summary>A text as markup.</summary>
    public static string Safe(string text) => WebUtility.HtmlEncode(text);
}
