using System.Globalization;
using BackyardSentinel.Delivery;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>
/// What sets of limits come to, each a dot: how much of the curl was announced against how many of the windows were false. The
/// present limits, those found, and those found without a season stand out by shape and word.
/// </summary>
public static class TradeOff
{
    private const double Top = 44, Height = 240, Left = 9, Width = 88;

    /// <summary>What a mark stands for.</summary>
    public enum Mark
    {
        /// <summary>The present limits.</summary>
        Now,

        /// <summary>The limits found, on the seasons that they were found in.</summary>
        Found,

        /// <summary>Limits found without a season, in that season.</summary>
        LeftOut,
    }

    /// <summary>Draws it.</summary>
    /// <param name="title">What it is.</param>
    /// <param name="dots">False alarm ratio and probability of detection of each pair that there is.</param>
    /// <param name="marks">Those that stand out; <c>null</c>: it has no such score.</param>
    /// <param name="words">The words.</param>
    public static IHtmlContent Draw(
        string title,
        IEnumerable<(double Far, double Pod)> dots,
        IReadOnlyList<(Mark Mark, (double Far, double Pod)? At)> marks,
        PageWords words)
    {
        var svg = new Svg("trade-off", (int)(Top + Height + 56), title, string.Join(" ", marks.Select(mark => Said(mark, words))));
        svg.Text("ttl", 0, 16, title);
        svg.Text(null, 0, 34, words.Say("tuned.announced"));
        for (var share = 0; share <= 100; share += 25)
        {
            svg.Line("hr", Left, Left + Width, Y(share / 100.0), Y(share / 100.0));
            svg.Text(null, Left - 1.5, Y(share / 100.0) + 4, Whole(share), anchor: "end");
            svg.Text(null, X(share / 100.0), Top + Height + 18, Whole(share), anchor: "middle");
        }

        svg.Text(null, Left + Width, Top + Height + 38, words.Say("tuned.false"), anchor: "end");
        svg.Line("ax", Left, Left + Width, Top + Height, Top + Height);
        foreach (var (far, pod) in dots)
            svg.Dot("rainf", X(far), Y(pod), 2.5);
        foreach (var (mark, at) in marks)
        {
            if (at is not (var far, var pod))
                continue;
            var (x, y) = (X(far), Y(pod));
            if (mark == Mark.Now)
                svg.Box("exp", x - 0.8, 1.6, y - 6, 12);
            else
                svg.Dot(mark == Mark.Found ? "seen" : "look", x, y, mark == Mark.Found ? 5 : 9);
            var isRight = far > 0.75;
            svg.Text("key", x, y + 5, Word(mark, words), isRight ? -14 : 14, isRight ? "end" : null);
        }

        return svg.Finish();
    }

    /// <summary>A drawing as a file of its own.</summary>
    /// <param name="drawing">The drawing.</param>
    /// <param name="style">The page's style.</param>
    public static string Standalone(IHtmlContent drawing, string style)
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        drawing.WriteTo(text, System.Text.Encodings.Web.HtmlEncoder.Default);
        var svg = text.ToString();
        var head = svg.IndexOf('>', StringComparison.Ordinal) + 1;
        var open = svg[..head]
            .Replace("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", StringComparison.Ordinal)
            .Replace("width=\"100%\"", "width=\"640\"", StringComparison.Ordinal);
        return $"""
            {open}
            <style>{Svg.Safe(style)}</style><rect width="100%" height="100%" style="fill:var(--paper)"/>{svg[head..]}

            """;
    }

    private static string Said((Mark Mark, (double Far, double Pod)? At) one, PageWords words) => one.At is (var far, var pod)
        ? words.Say("tuned.said", ("limits", Word(one.Mark, words)), ("announced", Percent(pod)), ("false", Percent(far)))
        : words.Say("tuned.said.nothing", ("limits", Word(one.Mark, words)));

    /// <summary>What a mark stands for, in words.</summary>
    /// <param name="mark">The mark.</param>
    /// <param name="words">The words.</param>
    public static string Word(Mark mark, PageWords words) => mark switch
    {
        Mark.Now => words.Say("tuned.now"),
        Mark.Found => words.Say("tuned.found"),
        Mark.LeftOut => words.Say("tuned.left-out"),
    };

    /// <summary>A share as whole per cent.</summary>
    public static string Percent(double share) => (share * 100).ToString("0", CultureInfo.InvariantCulture);

    private static double X(double far) => Left + (far * Width);

    private static double Y(double pod) => Top + ((1 - pod) * Height);

    private static string Whole(int share) => share.ToString(CultureInfo.InvariantCulture);
}
