using System.Text.RegularExpressions;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>The examples of docs/sensors.md give what the page says.</summary>
public sealed partial class SensorExamplesTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    [GeneratedRegex(@"\n```text\n(?<messages>[^`]+)\n```\n\n```yaml\n(?<series>[^`]+)```\n\nIt gives: (?<gives>.+)\.\n")]
    private static partial Regex Example();

    [Fact]
    public void Every_example_of_the_page_gives_what_it_says()
    {
        var page = File.ReadAllText(Checkout.Path("docs", "sensors.md"));
        var examples = Example().Matches(page);
        Assert.Equal(Regex.Count(page, "It gives: "), examples.Count);
        Assert.True(examples.Count >= 15);
        foreach (Match example in examples)
            Assert.Equal(
                example.Groups["gives"].Value, Gives(example.Groups["series"].Value, example.Groups["messages"].Value.Split('\n')));
    }

    [Fact]
    public void The_example_of_many_sites_is_a_good_garden()
    {
        var page = File.ReadAllText(Checkout.Path("docs", "sensors.md"));
        var (garden, problems) = GardenFileReader.ReadText("g.yaml", Regex.Match(page, "```yaml\n(series:[^`]+)```").Groups[1].Value);
        Assert.NotNull(garden);
        Assert.DoesNotContain(problems, problem => !problem.IsNote);
        Assert.Equal(
            ["garden/south-wall/air", "garden/orchard/air"],
            garden.Series.Where(series => series.Quantity == Quantity.Temperature).Select(series => series.Topic));
    }

    private static string Gives(string series, string[] messages)
    {
        var indented = string.Concat(series.TrimEnd('\n').Split('\n').Select(line => $"      {line}\n"));
        var (garden, problems) = GardenFileReader.ReadText(
            "g.yaml",
            $"sites:\n  - id: yard\n    series:\n{indented}      - quantity: temperature\n        topic: x/t\n      - quantity: "
                + "humidity\n        topic: x/h\n");
        Assert.True(garden is not null, string.Join('\n', problems));
        var maps = garden.Series;
        var map = new PayloadMap(maps);
        return string.Join(
            ", ",
            messages
                .SelectMany(
                    (message, i) => map.Read(maps[0].Topic, Encoding.UTF8.GetBytes(message), Now.AddMinutes(10 * i), false).Readings)
                .Select(one => Said(one.Reading)));
    }

    private static string Said(Weather.Reading reading)
    {
        var unit = reading.Quantity switch
        {
            Quantity.Temperature => " °C",
            Quantity.Humidity => " %",
            Quantity.Rain => " mm",
            _ => "",
        };
        var isOwn = reading.Time < Now;
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{reading.Quantity.Name()} "
                + $"{reading.Value:0.####}{unit}{(isOwn ? " at " + reading.Time.ToString("HH:mm:ss", CultureInfo.InvariantCulture) : "")}");
    }
}
