using System.CommandLine;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Commands.Tune;
using BackyardSentinel.Delivery;
using BackyardSentinel.Web.Drawing;
using BackyardSentinel.Web.Year;

namespace BackyardSentinel.Tests.Commands;

/// <summary>
/// Eight invented springs in a row, two plantings: in each one spell of 11 wet hours that brings curl, and three of 8 that do
/// not. The present limits, 12.5 hours, miss them all.
/// </summary>
public sealed class TuneTests : IDisposable
{
    private const int Springs = 8, Apart = 35;

    private static readonly DateTimeOffset First = new(2020, 2, 1, 6, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Shorter_spells_that_brought_curl_are_found_and_recommended()
    {
        var (code, output, _) = Tune();

        Assert.Equal(ExitCode.Done, code);
        Assert.Contains("\nRecommended.\n", output, StringComparison.Ordinal);
        Assert.Contains("tried over 8 seasons with scouting (2020, 2021,", output, StringComparison.Ordinal);
        Assert.Contains($"\n{"misses",-20} {16,20} {0,20} {0,20}\n", output, StringComparison.Ordinal);
        Assert.Contains("    variant_of: wet-hours\n", output, StringComparison.Ordinal);
        Assert.Contains("What to spray and when is the label's", output, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_found_is_what_replay_gives_with_these_limits()
    {
        var (code, output, _) = Tune("--json");
        var found = JsonNode.Parse(output)!;

        Assert.Equal(ExitCode.Done, code);
        Assert.True(SchemaTests.Holds("tune", output));
        Assert.True(found["recommended"]!.GetValue<bool>());
        var hours = found["best"]!["wet_hours"]!.GetValue<double>();
        Assert.InRange(hours, 8.5, 11);
        var replayed = Replay.Run(
            new Site
            {
                Id = "log",
                Step = TimeSpan.FromHours(1),
                Plantings = [new Planting("a", Stage: 9), new Planting("b", Stage: 9)],
                Rules = [new WetHoursLimits(minWetHours: hours), .. Site.PublishedRules.Skip(1)],
            },
            [_folder.File(Weather())],
            LogFolder.Hourly);
        Assert.Equal(
            replayed.Windows.Count(window => window.Rule == "wet-hours"),
            found["scores"]!["best"]!["hits"]!.GetValue<int>() + found["scores"]!["best"]!["unverified"]!.GetValue<int>());
    }

    [Fact]
    public void The_block_passes_check_and_the_last_season_tells_what_comes()
    {
        var garden = _folder.File(Garden(""), "garden.yaml");
        var (_, output, error) = Tune("--garden", garden, "--json");
        Assert.True(output.Length > 0, error);
        var found = JsonNode.Parse(output)!;
        var block = found["rule_block"]!.GetValue<string>();

        Assert.Equal(2, found["change"]!["windows_come"]!.AsArray().Count);
        Assert.Empty(found["change"]!["windows_go"]!.AsArray());
        Assert.NotEmpty(found["change"]!["messages_come"]!.AsArray());
        Assert.Contains("#   level_rule: tuned\n", block, StringComparison.Ordinal);
        var then = GardenFileReader.Read(
            _folder.File(block + Garden("    level_rule: tuned\n"), "tuned.yaml"));
        Assert.Empty(then.Problems);
        var limits = (WetHoursLimits)then.Garden!.Sites[0].LimitsOf("tuned", DateOnly.MaxValue);
        Assert.Equal(found["best"]!["wet_hours"]!.GetValue<double>(), limits.MinWetHours);
        Assert.Equal(12.5, ((WetHoursLimits)then.Garden.Sites[0].LimitsOf("tuned", new DateOnly(2020, 3, 1))).MinWetHours);
    }

    [Fact]
    public void The_drawing_is_a_picture_with_words()
    {
        var file = Path.Combine(_folder.Root, "trade-off.svg");
        Tune("--drawing", file);
        var drawing = System.Xml.Linq.XDocument.Load(file);

        Assert.Equal("{http://www.w3.org/2000/svg}svg", drawing.Root!.Name.ToString());
        Assert.Contains("now: no score.", drawing.Root.Value, StringComparison.Ordinal);
        Assert.Contains("season left out: 100 % of curl announced, 0 % of windows false.", drawing.Root.Value, StringComparison.Ordinal);

        Assert.DoesNotContain("--drawing", Tune("--drawing", file).Error, StringComparison.Ordinal);
        File.WriteAllText(file, "time,temperature_c\n");
        Assert.Contains(
            $"--drawing: {file} is there already and is no drawing; nothing was written.",
            Tune("--drawing", file).Error,
            StringComparison.Ordinal);
        Assert.Equal("time,temperature_c\n", File.ReadAllText(file));
    }

    [Theory]
    [InlineData("--rule", "wet", "--rule: there is no rule \"wet\" here; there are wet-hours, rain-day, two-day.")]
    [InlineData("--vary", "hours", "--vary: the rule wet-hours has no limit \"hours\" to vary; it has wet_hours, rain, temperature,")]
    [InlineData("--vary", "full_wet_hours", "with --level likely or --level severe only windows of that level count")]
    public void What_cannot_be_varied_is_refused_in_a_sentence(string option, string value, string sentence)
    {
        var (code, _, error) = Tune(option, value);

        Assert.Equal(ExitCode.BadInput, code);
        Assert.Contains(sentence, error, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_journal_nothing_can_be_scored()
    {
        var (code, _, error) = Run(_folder.File(Weather()), "--period", "60m");

        Assert.Equal(ExitCode.BadInput, code);
        Assert.StartsWith("tune scores limits against what you found on the shoots: name the journal", error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("rain-day")]
    [InlineData("two-day")]
    public void The_other_rules_are_varied_too(string rule)
    {
        var (code, output, error) = Tune("--rule", rule, "--vary", "temperature");

        Assert.True(code == ExitCode.Done, error);
        Assert.Contains($"log, rule {rule}: ", output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("en")]
    [InlineData("de")]
    public async Task What_is_kept_is_drawn_with_its_figures_on_page_and_report(string language)
    {
        var garden = _folder.File(Garden("") + "store: {path: kept.db}\n", "garden.yaml");
        var store = Path.Combine(Path.GetDirectoryName(garden)!, "kept.db");
        Assert.Null(KeptTuning.Of(store, "log"));
        var run = Tune("--garden", garden, "--keep");
        Assert.True(run.Code != ExitCode.BadInput, run.Error);
        var kept = KeptTuning.Of(store, "log")!;

        Assert.Equal((8, true), (kept.Years.Count, kept.IsRecommended));
        var words = AlertWords.BuiltIn(language).Page(TimeZoneInfo.Utc);
        using var slice = BackyardSentinel.Web.Pages.Tuned.Create(new TunedView(kept, words));
        await using var text = new StringWriter();
        await slice.RenderAsync(text, HtmlEncoder.Create(System.Text.Unicode.UnicodeRanges.All), TestContext.Current.CancellationToken);
        Assert.Contains(words.Say("tuned.recommended"), text.ToString(), StringComparison.Ordinal);
        Assert.Contains("<svg", text.ToString(), StringComparison.Ordinal);
        var found = kept.Marks[1].At!.Value;
        Assert.Contains($"<td class=\"n\">{TradeOff.Percent(found.Pod)}</td>", text.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_garden_file_there_is_nowhere_to_keep_it() =>
        Assert.Contains("--keep: name the garden file (--garden)", Tune("--keep").Error, StringComparison.Ordinal);

    [Theory]
    [InlineData("")]
    [InlineData("{}")]
    [InlineData("[1]")]
    [InlineData("""{"scores": 3, "site": 7}""")]
    [InlineData("""{"scores": {}, "site": null, "rule": null}""")]
    public void What_is_no_result_is_shown_as_none(string text)
    {
        var file = _folder.File(text, "kept.db.tuned-log.json");

        Assert.Null(KeptTuning.Of(Path.Combine(Path.GetDirectoryName(file)!, "kept.db"), "log"));
    }

    private (int Code, string Output, string Error) Tune(params string[] options) => Run(
    [
        _folder.File(Weather()), "--period", "60m", "--step", "60m", "--stage", "9",
        "--journal", _folder.File(Looks(), "looks.jsonl"), .. options,
    ]);

    private static (int Code, string Output, string Error) Run(params string[] arguments)
    {
        using StringWriter output = new(), error = new();
        var code = TuneCommand.Create().Parse(arguments).Invoke(new InvocationConfiguration { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }

    private static DateTimeOffset SpellOf(int spring, int spell) => First.AddYears(spring).AddDays(spell * Apart);

    private static bool Infects(int spring, int spell) => spell == spring % 4;

    private static string Weather()
    {
        var text = new StringBuilder(LogFolder.Header + "\n");
        for (var spring = 0; spring < Springs; spring++)
        {
            for (var at = First.AddYears(spring).AddDays(-20); at < First.AddYears(spring).AddDays(4 * Apart); at = at.AddHours(1))
            {
                var hours = Enumerable.Range(0, 4)
                    .Where(spell => at >= SpellOf(spring, spell) && at < SpellOf(spring, spell).AddHours(Infects(spring, spell) ? 11 : 8))
                    .Select(spell => (at - SpellOf(spring, spell)).TotalHours)
                    .FirstOrDefault(-1);
                // Cool nights, warm afternoons, rain of many amounts: sensors that always say the same are not believed.
                var (warmth, day) = (3 * Math.Cos((at.Hour - 15) / 12.0 * Math.PI), at.DayOfYear % 5);
                var rain = 4 + (((spring * 7) + (at.DayOfYear * 3)) % 10 / 2.0);
                text.Append(
                    CultureInfo.InvariantCulture,
                    $"{at:yyyy-MM-ddTHH:mm:ss}Z,{8 + warmth + (day / 2.0):0.0},{(hours >= 0 ? 95 : 65 - (3 * warmth)) + day / 2.0:0},"
                        + $"{(hours == 0 ? rain : 0)}\n");
            }
        }

        return text.ToString();
    }

    private static string Looks() => LogFolder.Lines(
        from spring in Enumerable.Range(0, Springs)
        from spell in Enumerable.Range(0, 4)
        from planting in new[] { "a", "b" }
        select JsonSerializer.Serialize(new Dictionary<string, object>
        {
            ["on"] = SpellOf(spring, spell).AddDays(20).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
            ["planting"] = planting,
            ["kind"] = "scout",
            ["shoots"] = 20,
            ["curled"] = Infects(spring, spell) ? 4 : 0,
        }));

    private static string Garden(string keys) => $"""
        sites:
          - id: log
            latitude: 46
            longitude: 14
            step: 60m
        {keys}    series:
              - {"{"} quantity: temperature, topic: t {"}"}
              - {"{"} quantity: humidity, topic: h {"}"}
              - {"{"} quantity: rain, topic: r {"}"}
            plantings:
              - {"{"} id: a, kind: peach, stage: 9 {"}"}
              - {"{"} id: b, kind: peach, stage: 9 {"}"}

        """;
}
