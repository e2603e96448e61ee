using System.Globalization;
using System.Text;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>
/// One series over a day, as a line that breaks where nothing came, or as bars an hour for what is summed up. Its lowest and
/// highest value stand below as text.
/// </summary>
public static class SparkLine
{
    private const int Width = 1000, Height = 36;

    /// <summary>Draws a line.</summary>
    /// <param name="values">Values by their place in the day, 0 to 1, in rising order.</param>
    /// <param name="gap">More than so much of the day between two values is a gap.</param>
    /// <param name="title">What it says, in words.</param>
    public static IHtmlContent Line(IReadOnlyList<(double At, double Value)> values, double gap, string title)
    {
        var (low, high) = values.Count == 0 ? (0, 1) : (values.Min(one => one.Value), values.Max(one => one.Value));
        var (path, gaps) = (new StringBuilder(), new StringBuilder());
        var last = 0.0;
        for (var i = 0; i <= values.Count; i++)
        {
            var at = i < values.Count ? values[i].At : 1;
            var isGap = at - last > gap;
            if (isGap)
                gaps.Append(
                    CultureInfo.InvariantCulture,
                    $"<rect class=\"gap\" x=\"{X(last)}\" y=\"2\" width=\"{X(at - last)}\" height=\"{Height - 4}\"/>");
            if (i == values.Count)
                break;
            var y = high > low ? 3 + (Height - 6) * (high - values[i].Value) / (high - low) : Height / 2.0;
            path.Append(CultureInfo.InvariantCulture, $"{(i == 0 || isGap ? 'M' : 'L')}{X(at)} {y:0.0}");
            last = at;
        }

        return Drawn($"{gaps}<path class=\"spark\" d=\"{path}\"/>", title);
    }

    /// <summary>Draws bars, an hour each.</summary>
    /// <param name="hours">The sums of the hours, the oldest first, from 0.</param>
    /// <param name="title">What it says, in words.</param>
    public static IHtmlContent Bars(IReadOnlyList<double> hours, string title)
    {
        var (bars, most) = (new StringBuilder(), Math.Max(hours.DefaultIfEmpty().Max(), 1e-9));
        for (var i = 0; i < hours.Count; i++)
        {
            var height = (Height - 3) * hours[i] / most;
            if (hours[i] > 0)
                bars.Append(
                    CultureInfo.InvariantCulture,
                    $"<rect class=\"rain\" x=\"{X((i + 0.1) / hours.Count)}\" y=\"{Height - height:0.0}\" "
                        + $"width=\"{X(0.8 / hours.Count)}\" height=\"{height:0.0}\"/>");
        }

        return Drawn(bars.ToString(), title);
    }

    private static HtmlString Drawn(string inside, string title) => new(
        $"<svg class=\"strip\" width=\"100%\" height=\"{Height}\" viewBox=\"0 0 {Width} {Height}\" preserveAspectRatio=\"none\" "
            + $"role=\"img\" aria-label=\"{System.Net.WebUtility.HtmlEncode(title)}\">{inside}<line class=\"ax\" x1=\"0\" "
            + $"x2=\"{Width}\" y1=\"{Height}\" y2=\"{Height}\"/></svg>");

    private static string X(double share) => (share * Width).ToString("0.0", CultureInfo.InvariantCulture);
}
