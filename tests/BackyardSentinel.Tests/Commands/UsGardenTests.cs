using System.Text.Json;
using System.Text.RegularExpressions;
using BackyardSentinel.Delivery;
using BackyardSentinel.Units;
using Xunit;

namespace BackyardSentinel.Tests.Commands;

/// <summary>With <c>units: us</c> no text for people holds a metric unit, and machines get the same figures as ever.</summary>
public sealed partial class UsGardenTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("sentinel-us-").FullName;

    public static TheoryData<string> Plans => [.. PlanRun.Scenarios.Where(name => name != "southern-garden")];

    public void Dispose() => Directory.Delete(folder, true);

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
        var us = PlanRun.Arguments("peach-in-january").Select(word => word.EndsWith("garden.yaml", StringComparison.Ordinal) ? UsGarden(word) : word).ToArray();
        var (_, output, _) = PlanRun.Run([.. us, "--volume", "1 gallon"]);
        NothingMetric(output);
        Assert.Contains("1 gal of water, ", output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("wet-hours")]
    [InlineData("rain-day")]
    [InlineData("two-day")]
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
            Assert.Equal(Figures(metric.Explain(begin.AddHours(hours), "--json").Output), Figures(us.Explain(begin.AddHours(hours), "--json").Output));
        }

        ExplainGarden Garden(string units) => new ExplainGarden(sensors: "temperature humidity rain wind-speed", rule: rule, plantings: "{ id: white-peach, kind: peach }, { id: gate-nectarine, kind: nectarine, stage: 71 }", units: units)
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
                    foreach (var (item, index) in element.EnumerateArray().Select((item, index) => (item, index))) Walk(item, $"{place}[{index}]");
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
        var copy = Path.Combine(folder, "garden.yaml");
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
