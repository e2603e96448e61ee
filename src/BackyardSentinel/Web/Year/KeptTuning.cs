using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Delivery;
using BackyardSentinel.Web.Drawing;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Year;

/// <summary>What <c>tune --keep</c> came to, kept beside the store for the page and the report.</summary>
/// <param name="Site">The site.</param>
/// <param name="Rule">The rule or variant whose limits were varied.</param>
/// <param name="Sets">Sets of limits that were tried.</param>
/// <param name="Years">The springs that they were tried on.</param>
/// <param name="IsRecommended">The limits found are worth taking.</param>
/// <param name="Dots">False alarm ratio and probability of detection of each pair that there is.</param>
/// <param name="Marks">Those of the present limits, of those found, and of those found without a season.</param>
public sealed record KeptTuning(
    string Site,
    string Rule,
    int Sets,
    IReadOnlyList<int> Years,
    bool IsRecommended,
    IReadOnlyList<(double Far, double Pod)> Dots,
    IReadOnlyList<(TradeOff.Mark Mark, (double Far, double Pod)? At)> Marks)
{
    /// <summary>Where a site's is kept.</summary>
    /// <param name="store">The store's path.</param>
    /// <param name="site">The site.</param>
    public static string PathBeside(string store, string site) =>
        $"{store}.tuned-{site}.json";

    /// <summary>Reads it.</summary>
    /// <param name="store">The store's path.</param>
    /// <param name="site">The site.</param>
    /// <returns><c>null</c>: none was kept, or what is there is none.</returns>
    public static KeptTuning? Of(string store, string site)
    {
        try
        {
            using var document = JsonDocument.Parse(File.ReadAllBytes(PathBeside(store, site)));
            return Of(document.RootElement);
        }
        catch (Exception none)
            when (none is IOException or UnauthorizedAccessException or JsonException or InvalidOperationException or KeyNotFoundException
                or FormatException)
        {
            return null;
        }
    }

    /// <summary>What is said of it, a sentence each.</summary>
    /// <param name="words">The words.</param>
    public IEnumerable<string> Lines(PageWords words)
    {
        yield return words.Say(
            "tuned.springs",
            ("sets", words.Number(Sets)),
            ("rule", words.Rule(Rule)),
            ("years", string.Join(", ", Years.Select(year => year.ToString(CultureInfo.InvariantCulture)))));
        yield return words.Say(IsRecommended ? "tuned.recommended" : "tuned.stays");
    }

    /// <summary>The drawing.</summary>
    /// <param name="words">The words.</param>
    public IHtmlContent Draw(PageWords words) =>
        TradeOff.Draw(words.Say("tuned.title", ("site", Site), ("rule", words.Rule(Rule))), Dots, Marks, words);

    private static KeptTuning Of(JsonElement root)
    {
        var scores = root.GetProperty("scores");
        return new KeptTuning(
            Text(root, "site"),
            Text(root, "rule"),
            root.GetProperty("sets").GetInt32(),
            [.. root.GetProperty("years").EnumerateArray().Select(year => year.GetInt32())],
            root.GetProperty("recommended").GetBoolean(),
            [.. root.GetProperty("trade_off").EnumerateArray().Select(pair => (Share(pair, "far")!.Value, Share(pair, "pod")!.Value))],
            [
                (TradeOff.Mark.Now, Score(scores.GetProperty("now"))),
                (TradeOff.Mark.Found, Score(scores.GetProperty("best"))),
                (TradeOff.Mark.LeftOut, Score(scores.GetProperty("left_out"))),
            ]);
    }

    private static string Text(JsonElement of, string name) =>
        of.GetProperty(name).GetString() ?? throw new FormatException($"{name} is null.");

    private static (double, double)? Score(JsonElement score) =>
        Share(score.GetProperty("far"), "value") is { } far && Share(score.GetProperty("pod"), "value") is { } pod ? (far, pod) : null;

    private static double? Share(JsonElement of, string name) =>
        of.GetProperty(name) is { ValueKind: JsonValueKind.Number } number ? number.GetDouble() : null;
}
