using System.Text.RegularExpressions;
using System.Xml.Linq;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Commands.Report;
using BackyardSentinel.Delivery;
using BackyardSentinel.Demo;
using BackyardSentinel.Logs;
using BackyardSentinel.Tests.Commands;
using BackyardSentinel.Web.Report;
using CsvHelper;

namespace BackyardSentinel.Tests.Web.Report;

public sealed partial class ReportTests
{
    private const string Hostile = "</style><script>alert(1)</script>&\"' onload=x";

    private static readonly Site Demo = DemoGarden.Create(1, "unused").Sites[0];

    [Fact]
    public async Task The_report_is_one_well_formed_file_that_asks_nobody_for_anything()
    {
        var html = await Html(Demo);
        var page = Parsed(html);

        Assert.DoesNotMatch("(src|href|action)=", html);
        Assert.DoesNotMatch("url\\((?!#)", html);
        Assert.DoesNotContain("<script", html, StringComparison.OrdinalIgnoreCase);
        Assert.Empty(page.Descendants().Attributes("style"));
        Assert.Equal(
            page.Descendants().Attributes("id").Select(id => id.Value).Distinct().Count(), page.Descendants().Attributes("id").Count());
        Assert.Equal(
            ["It was sprayed on 8 February.", "Its buds were seen to swell on 22 February."],
            [.. Sentences(page).Take(2)]);
        Assert.Equal(5, Sentences(page).Length);
    }

    [Fact]
    public async Task Whatever_names_hold_is_told_as_text()
    {
        var site = Demo with
        {
            Plantings = [Demo.Plantings[0] with { Name = Hostile, Variety = Hostile }],
            Products = [Demo.Products[0] with { Name = Hostile }],
        };
        var html = await Html(site, Hostile);
        var page = Parsed(html);

        Assert.DoesNotContain("<script", html, StringComparison.OrdinalIgnoreCase);
        Assert.Single(Regex.Matches(html, "</style"));
        Assert.DoesNotContain(page.Descendants().Attributes(), one => one.Name.LocalName.StartsWith("on", StringComparison.Ordinal));
        Assert.Contains(page.Descendants("h2"), head => head.Value.StartsWith(Hostile, StringComparison.Ordinal));
        Assert.Contains(page.Descendants("td"), cell => cell.Value.StartsWith(Hostile, StringComparison.Ordinal));
        Assert.Contains(page.Descendants("title"), title => title.Value.Contains(Hostile, StringComparison.Ordinal));
    }

    [Fact]
    public void Its_windows_are_those_that_replay_tells_of_the_same_log()
    {
        using var folder = new LogFolder();
        var log = folder.File(string.Concat(Rows().Prepend("time,temperature_c,humidity_pct,leaf_wetness,rain_mm\n")));
        var replayed = ReplayCommandResult(log);
        var facts = DemoSeason.Facts(Demo);
        using var csv = new StringWriter();
        ReportCsv.Write([facts], csv);
        var rows = Read(csv.ToString()).Where(row => row["kind"] == "window").ToList();

        Assert.NotEmpty(rows);
        Assert.Equal(
            replayed.Windows.Select(
                window =>
                    (
                        window.Rule,
                        window.OpenedAt,
                        window.Level.ToString().ToLowerInvariant(),
                        Round(window.WetHours),
                        Round(window.RainMm))),
            rows.Select(row => (row["rule"], Moment(row["opened_at"]), row["level"], Number(row["wet_hours"]), Number(row["rain_mm"]))));
        Assert.Equal(
            facts.Rules.Select(rule => (rule.Rule, rule.Verified.Windows.Count)),
            facts.Rules.Select(rule => (rule.Rule, rows.Count(row => row["rule"] == rule.Rule))));
    }

    [Fact]
    public void Its_sprays_and_looks_are_those_of_the_journal_and_its_copper_that_of_the_ledger()
    {
        var facts = DemoSeason.Facts(Demo);
        using var csv = new StringWriter();
        ReportCsv.Write([facts], csv);
        var rows = Read(csv.ToString());

        var spray = Assert.Single(rows, row => row["kind"] == "spray");
        Assert.Equal(("2027-02-08", "copper"), (spray["on"], spray["product"]));
        Assert.Equal(facts.Ledger.Balance("old-peach", new DateOnly(2027, 6, 5)).SeasonG, Number(spray["copper_g"])!.Value, 1e-4);
        var look = Assert.Single(rows, row => row["kind"] == "scout");
        Assert.Equal(("2027-03-27", "20", "3", "puckered"), (look["on"], look["shoots"], look["curled"], look["symptom"]));
        Assert.Equal("2027-03-29", Assert.Single(rows, row => row["kind"] == "pick")["on"]);
        Assert.All(rows, row => Assert.Equal(ReportCsv.Columns.Count, row.Count));
    }

    [Fact]
    public async Task The_demos_report_in_the_docs_is_the_one_that_is_made()
    {
        var kept = await File.ReadAllTextAsync(Checkout.Path("docs", "demo-report.html"), TestContext.Current.CancellationToken);

        // How it looks may change from day to day; what it says is the report's.
        Assert.Equal(Style().Replace(kept, ""), Style().Replace(await Html(Demo), ""));
    }

    private static async Task<string> Html(Site site, string garden = "Demo garden") =>
        await ReportPage.TextAsync(ReportPage.Of(garden, [DemoSeason.Facts(site)], AlertWords.English(), DemoWeather.End));

    private static string[] Sentences(XDocument page) => SentenceEnd().Split(
        page.Descendants("p").First(p => p.Value.StartsWith("It was", StringComparison.Ordinal)).Value.Trim());

    /// <summary>HTML as XML: what HTML leaves open is closed.</summary>
    private static XDocument Parsed(string html) =>
        XDocument.Parse(VoidTags().Replace(html.Replace("<!doctype html>", "", StringComparison.Ordinal).Trim(), "<$1$2/>"));

    private static ReplayResult ReplayCommandResult(string log) =>
        Replay.Run(Demo, [log], new LogOptions(), journal: DemoGarden.Journal);

    private static IEnumerable<string> Rows()
    {
        for (var at = DemoWeather.Begin; at < DemoWeather.End; at += DemoWeather.Step)
        {
            if (DemoWeather.At(at) is { } one)
                yield return string.Create(
                    CultureInfo.InvariantCulture,
                    $"{at:yyyy-MM-ddTHH:mm:ssZ},{one.TemperatureC},{one.HumidityPct},{one.LeafWetnessPct},{one.RainMm}\n");
        }
    }

    private static List<Dictionary<string, string>> Read(string text)
    {
        using var csv = new CsvReader(new StringReader(text), CultureInfo.InvariantCulture);
        List<Dictionary<string, string>> rows = [];
        csv.Read();
        csv.ReadHeader();
        while (csv.Read())
            rows.Add(csv.HeaderRecord!.ToDictionary(name => name, name => csv.GetField(name)!));
        return rows;
    }

    private static DateTimeOffset Moment(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);

    private static double? Number(string text) => text.Length == 0 ? null : double.Parse(text, CultureInfo.InvariantCulture);

    private static double? Round(double? value) => value is { } one ? Math.Round(one, 4) : null;

    [GeneratedRegex("<style>.*?</style>", RegexOptions.Singleline)]
    private static partial Regex Style();

    [GeneratedRegex("<(meta|link|br|hr|img|input)([^>]*?)/?>")]
    private static partial Regex VoidTags();

    [GeneratedRegex("(?<=\\.) (?=[A-Z0-9])")]
    private static partial Regex SentenceEnd();
}
