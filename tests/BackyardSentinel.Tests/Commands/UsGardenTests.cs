using System.CommandLine;
using System.Text.Json;
using System.Text.RegularExpressions;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Journal;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Delivery;
using BackyardSentinel.Hosting;
using BackyardSentinel.Tests.Configuration;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tests.Commands;

/// <summary>With <c>units: us</c> no text for people holds a metric unit, and machines get the same figures as ever.</summary>
public sealed partial class UsGardenTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-us-").FullName;

    public static TheoryData<string> Plans => [.. PlanRun.Scenarios.Where(name => name != "southern-garden")];

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [MemberData(nameof(Plans))]
    public void A_plan_is_told_in_us_units_and_its_json_keeps_its_figures(string scenario)
    {
        var metric = PlanRun.Arguments(scenario);
        var us = metric.Select(word => word.EndsWith("garden.yaml", StringComparison.Ordinal) ? UsGarden(word) : word).ToArray();
        var (_, output, error) = PlanRun.Run(us);
        NothingMetric(output + error);
        Assert.Equal(PlanRun.Run(metric).Output.Length > 0, output.Length > 0);
        var figures = Figures(PlanRun.Run([.. metric, "--json"]).Output);
        Assert.Equal(figures, Figures(PlanRun.Run([.. us, "--json"]).Output));
    }

    [Fact]
    public void A_tank_mix_is_told_in_gallons_and_ounces()
    {
        var us = PlanRun
            .Arguments("peach-in-january")
            .Select(word => word.EndsWith("garden.yaml", StringComparison.Ordinal) ? UsGarden(word) : word)
            .ToArray();
        var (_, output, _) = PlanRun.Run([.. us, "--volume", "1 gallon"]);
        NothingMetric(output);
        Assert.Contains("1 gal of water, ", output, StringComparison.Ordinal);
    }

    public static TheoryData<string> Rules => [.. Garden.RuleNames.Words];

    [Theory]
    [MemberData(nameof(Rules))]
    public void An_explanation_is_told_in_us_units_and_its_json_keeps_its_figures(string rule)
    {
        var begin = ExplainGarden.Utc(2027, 4, 10);
        using var metric = Garden("metric");
        using var us = Garden("us");
        foreach (var hours in new[] { 12, 20, 30, 42, 60 })
        {
            var (_, output, error) = us.Explain(begin.AddHours(hours));
            NothingMetric(output + error);
            Assert.Contains(" °F", output, StringComparison.Ordinal);
            Assert.Contains(" in of rain", output, StringComparison.Ordinal);
            Assert.Equal(
                Figures(metric.Explain(begin.AddHours(hours), "--json").Output),
                Figures(us.Explain(begin.AddHours(hours), "--json").Output));
        }

        ExplainGarden Garden(string units) =>
            new ExplainGarden(
                sensors: "temperature humidity rain wind-speed",
                rule: rule,
                plantings: "{ id: white-peach, kind: peach }, { id: gate-nectarine, kind: nectarine, stage: 71 }",
                units: units)
                .Weather(begin.AddDays(-1), begin.AddHours(10), 9.3)
                .Weather(begin.AddHours(10), begin.AddHours(36), 9.6, 97, 0.42)
                .Weather(begin.AddHours(36), begin.AddHours(60), 18.2);
    }

    [Fact]
    public void Every_alert_is_told_in_us_units()
    {
        foreach (var alert in ExampleAlerts.OfEveryKind())
        {
            var text = AlertWords.English(UnitSystem.Us).Say(alert, _ => TimeZoneInfo.Utc);
            NothingMetric(text.Title + "\n" + text.Body);
        }
    }

    [Fact]
    public void The_narration_is_told_in_us_units_also_where_a_value_is_refused_or_doubted()
    {
        using var text = new StringWriter();
        var narrator = new Narrator(text);
        SiteWatch watch = null!;
        watch = new SiteWatch(
            LogFolder.Site with
            {
                Units = UnitSystem.Us,
                HasRainGauge = true,
            },
            fact => narrator.Tell("yard", watch, fact));
        foreach (var hour in Enumerable.Range(0, 60))
        {
            // A wet spell, then a thermometer that leaps, then one that says 77 where °C are read.
            Take(Quantity.Temperature, hour, hour < 26 ? 9.5 : hour < 36 ? (hour % 2 == 0 ? -30 : 40) : 77);
            Take(Quantity.Humidity, hour, hour < 20 ? 96 : 50);
            Take(Quantity.Rain, hour, hour < 20 ? 0.5 : 0);
        }

        NothingMetric(text.ToString());
        Assert.Contains(" wet hours, 0.39 in, mean 49.1 °F", text.ToString(), StringComparison.Ordinal);
        Assert.Contains("-22.0 °F to 104.0 °F within a day", text.ToString(), StringComparison.Ordinal);

        void Take(Quantity quantity, int hour, double value) =>
            watch.Accept(
                new Reading(quantity, LogFolder.Start.AddHours(hour), value, TimeSpan.FromHours(1)),
                LogFolder.Start.AddHours(hour + 1));
    }

    [Fact]
    public void A_refused_value_is_told_in_the_unit_of_the_garden_and_as_it_came()
    {
        var why = QualityControl.Why(Quantity.Temperature, 77, QualityVerdict.Impossible, UnitSystem.Us);
        Assert.Equal("cannot be: -76 to 140 °F are taken; it came as 77.0 and was taken for °C; is the unit °F?", why.Text);
        foreach (var quantity in Enum.GetValues<Quantity>())
            NothingMetric(
                UnitSystem.Us.Said(quantity, 8)
                    + QualityControl.Why(quantity, -999, QualityVerdict.Impossible, UnitSystem.Us)
                    + QualityControl.RangeOf(quantity, UnitSystem.Us));
        foreach (var fault in Enum.GetValues<SeriesFault>())
            NothingMetric(
                new SeriesDoubt(
                    fault == SeriesFault.TooMuchRain ? Quantity.Rain : Quantity.Temperature,
                    0,
                    fault,
                    LogFolder.Start,
                    2,
                    61
                ).Seen(UnitSystem.Us).Text);
    }

    [Fact]
    public void A_replay_is_told_in_us_units()
    {
        using var logs = new LogFolder();
        var log = LogFolder.Lines([
            LogFolder.Header,
            .. LogFolder.Rows(),
            $"{LogFolder.Stamp(30)},77,50,300",
            $"{LogFolder.Stamp(31)},9.5,50,-1",
        ]);
        using var text = new StringWriter();
        ReplayText.Write(logs.Judge(log, site: LogFolder.Site with { Units = UnitSystem.Us }), text);
        NothingMetric(text.ToString());
        Assert.Contains("0.18 in", text.ToString(), StringComparison.Ordinal);
        Assert.Contains("-76 to 140 °F", text.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_spray_is_written_down_and_listed_in_us_units()
    {
        var garden = Path.Combine(_folder, "journal.yaml");
        File.WriteAllText(
            garden,
            "units: us\nstore: {path: journal.db}\nbroker: {embedded: true}\nproducts: [{id: copper, template: "
                + "fixed-copper}]\nsites:\n  - {id: yard, zone: America/New_York, series: [{quantity: temperature, topic: t}, "
                + "{quantity: humidity, topic: h}], plantings: [{id: peach, kind: peach}]}\n");
        var added = Journal("add", "spray", "copper", "--volume", "1.5 gal", "--dose", "2 oz/gal", "--on", "2/3/2027", "--new");
        Assert.Contains("1.5 gal at 2 oz per gal", added, StringComparison.Ordinal);
        var said =
            added
            + Journal("list")
            + Journal("add", "spray", "copper", "--volume", "99999999 gal", "--on", "2/4/2027")
            + Journal("add", "spray", "copper", "--volume", "2", "--on", "2/4/2027")
            + Journal("add", "spray", "copper", "--volume", "2 gal", "--dose", "99999 oz/gal", "--on", "2/4/2027");
        // Which units can be written is an example of both.
        NothingMetric(said.Replace("\"5 L\"", "", StringComparison.Ordinal));

        string Journal(string verb, params string[] words)
        {
            using StringWriter output = new(),
                error = new();
            var root = new RootCommand
            {
                JournalCommand.Create(new FakeTimeProvider(new DateTimeOffset(2027, 4, 1, 22, 30, 0, TimeSpan.Zero))),
            };
            root.Parse(["journal", verb, .. words, "--garden", garden])
                .Invoke(
                    new InvocationConfiguration
                    {
                        Output = output,
                        Error = error,
                        EnableDefaultExceptionHandler = false,
                    });
            return output.ToString() + error;
        }
    }

    [Fact]
    public void A_value_out_of_range_is_told_its_limits_in_the_unit_it_is_meant_in()
    {
        var text =
            "units: us\n"
            + File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml"))
            + "    plantings: [{id: p, kind: peach, canopy_area: 1}]\n";
        var problem = Assert.Single(GardenFileReader.ReadText("g.yaml", text).Problems, one => !one.IsNote);
        Assert.Contains("in sq ft: 1.08 to 107639.1", problem.Expected!.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_fitted_need_is_told_without_metric_units()
    {
        using var garden = new ExplainGarden(plantings: "{ id: white-peach, kind: peach }", units: "us");
        garden
            .Weather(ExplainGarden.Utc(2025, 10, 1), ExplainGarden.Utc(2027, 6, 1), FitTests.Season)
            .Saw("2026-04-10", 65)
            .Saw("2027-04-16", 65);
        var (code, output, error) = garden.Fit(ExplainGarden.Utc(2027, 6, 1), "--planting", "white-peach");
        Assert.Equal(ExitCode.Done, code);
        NothingMetric(output + error);
    }

    [Fact]
    public void The_calendar_is_told_in_us_units()
    {
        var us = PlanRun
            .Arguments("peach-in-january")
            .Select(word => word.EndsWith("garden.yaml", StringComparison.Ordinal) ? UsGarden(word) : word)
            .ToArray();
        var calendar = PlanRun.Run([.. us, "--ics", "-"]).Output.Replace("\r\n ", "", StringComparison.Ordinal);
        NothingMetric(calendar);
        Assert.Contains(" °F", calendar, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("1/15/2027 8:30 am", "2027-01-15T08:30")]
    [InlineData("1/15/2027 17:05", "2027-01-15T17:05")]
    [InlineData("01/15/2027", "2027-01-15")]
    public void A_us_garden_takes_us_days_and_another_does_not(string written, string iso)
    {
        var reader = new MomentText(TimeZoneInfo.Utc, UnitSystem.Us);
        Assert.NotNull(reader.Read(written, out _));
        Assert.Equal(reader.Read(iso, out _), reader.Read(written, out _));
        Assert.Null(new MomentText(TimeZoneInfo.Utc, UnitSystem.Metric).Read(written, out _));
    }

    [Fact]
    public void Plan_and_explain_take_us_days_in_a_us_garden()
    {
        var arguments = PlanRun.Arguments("peach-in-january");
        var us = arguments.Select(word => word.EndsWith("garden.yaml", StringComparison.Ordinal) ? UsGarden(word) : word).ToArray();
        var at = Array.IndexOf(us, "--at") + 1;
        var iso = PlanRun.Run(us).Output;
        us[at] = "1/15/2027 8:30 am";
        Assert.Equal(iso, PlanRun.Run(us).Output);

        using var garden = new ExplainGarden(units: "us").Weather(ExplainGarden.Utc(2027, 4, 10), ExplainGarden.Utc(2027, 4, 11), 9);
        Assert.Equal(
            garden.Explain(ExplainGarden.Utc(2027, 4, 12), "--at", "2027-04-10T18:30").Output,
            garden.Explain(ExplainGarden.Utc(2027, 4, 12), "--at", "4/10/2027 6:30pm").Output);
    }

    // Which unit a sensor's numbers seem to be in has to name that unit.
    private static void NothingMetric(string text) => Assert.DoesNotMatch(Metric(), OfSensors().Replace(text, ""));

    /// <summary>Every number of a JSON text with its place; a sentence in it is for people.</summary>
    private static List<string> Figures(string text)
    {
        if (text.Length == 0)
            return [];
        List<string> figures = [];
        using var json = JsonDocument.Parse(text);
        Walk(json.RootElement, "");
        return figures;

        void Walk(JsonElement element, string place)
        {
            switch (element.ValueKind)
            {
                case JsonValueKind.Object:
                    foreach (var key in element.EnumerateObject()) Walk(key.Value, $"{place}.{key.Name}");
                    break;
                case JsonValueKind.Array:
                    foreach (var (item, index) in element.EnumerateArray().Select((item, index) => (item, index)))
                        Walk(item, $"{place}[{index}]");
                    break;
                case JsonValueKind.Number:
                    figures.Add($"{place} {element.GetRawText()}");
                    break;
                default:
                    break;
            }
        }
    }

    /// <summary>The same garden with the switch turned and a unit behind each number that had none.</summary>
    private string UsGarden(string path)
    {
        var text = File.ReadAllText(path);
        text = Climate().Replace(text, match => match.Groups["key"].Value + Number().Replace(match.Groups["list"].Value, "$0 °C"));
        text = Regex.Replace(text, @"canopy_area: ([0-9.]+)", "canopy_area: $1 m²");
        text = Regex.Replace(text, @"(recheck_rain|spent_rain): ([0-9.]+)", "$1: $2 mm");
        text = Regex.Replace(text, @"(min_temperature|max_temperature): ([0-9.]+) *(?=[\r\n,}])", "$1: $2 °C");
        var copy = Path.Combine(_folder, "garden.yaml");
        File.WriteAllText(copy, "units: us\n" + text);
        return copy;
    }

    [GeneratedRegex(@"°C|\bmm\b|m/s|km/h|kg/|g/L|mL\b|mg/kg|m²|\bcm\b|[0-9] (g|kg|L|m|C)\b")]
    private static partial Regex Metric();

    [GeneratedRegex(@"(taken for|looks like|not|state unit:) (°C|mm)\b")]
    private static partial Regex OfSensors();

    [GeneratedRegex(@"(?<key>climate_(min|max): )(?<list>\[.*?\])")]
    private static partial Regex Climate();

    [GeneratedRegex(@"-?[0-9]+(\.[0-9]+)?")]
    private static partial Regex Number();
}
