using AngleSharp.Dom;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Web;

public sealed class SprayingPageTests
{
    private static readonly DateTimeOffset Saturday = new(2027, 2, 6, 7, 0, 0, TimeSpan.Zero);

    /// <summary>Eight days: rain on the first afternoon, frost on the second day, a gale on the fifth, else dry and light.</summary>
    private static Forecast Ahead => new(
        "Invented office",
        Saturday,
        [
            .. Enumerable.Range(0, 24 * 8).Select(i => new ForecastHour(
                Saturday.AddHours(i),
                i / 24 == 1 ? -2 : 7 + (3 * Math.Sin((i % 24 - 2) / 24.0 * 2 * Math.PI)),
                65,
                i is >= 7 and < 13 ? 0.6 : 0,
                10,
                i / 24 == 4 ? 7 : 2,
                40)),
        ],
        "Weather by an invented office",
        "CC BY 4.0");

    private static JournalEntry[] Winter =>
    [
        new StageEntry(0, "south-wall", "white-peach", new DateOnly(2027, 2, 5), 0),
        new StageEntry(0, "south-wall", "gate-nectarine", new DateOnly(2027, 2, 5), 0),
        new SprayEntry(0, "south-wall", "white-peach", new DateOnly(2025, 11, 25), "winter-copper", 7),
        new SprayEntry(0, "south-wall", "white-peach", new DateOnly(2026, 11, 22), "winter-copper", 7),
    ];

    /// <summary>A winter's garden with a forecast in which some hours are fit and some are not.</summary>
    internal static PageGarden Wall => new()
    {
        Now = Saturday,
        Past = [.. PageGarden.Weather(Saturday.AddMinutes(-5), 30)],
        Forecast = Ahead,
        Journal = Winter,
    };

    [Fact]
    public async Task The_page_says_by_when_and_when_best_and_why_not_on_other_days()
    {
        await using var house = await PageHouse.OpenAsync(Wall);

        var page = await house.GetAsync("/spraying");
        var text = Text(page.QuerySelector("main")!);

        Assert.Matches(
            @"^Spray by [A-Z][a-z]{2} \d+ (February|March)\. Best: [A-Z][a-z]{2} \d+ February, \d\d:\d\d to \d\d:\d\d\.$",
            Text(page.QuerySelector("h1")!));
        var days = page.QuerySelector("table.tt")!.QuerySelectorAll("tbody tr").ToList();
        Assert.Equal("Sat 6", Text(days[0].QuerySelector("th")!));
        // A day without hours has a letter, and each letter a footnote; a day with hours has a bar of them.
        var notes = page.QuerySelector("ol[type=a]")!.QuerySelectorAll("li").Select(Text).ToList();
        foreach (var day in days)
        {
            var (letters, fit) = (Text(day.QuerySelector("td:last-child")!), day.QuerySelectorAll("rect.seen").Length);
            Assert.True(
                fit > 0
                    ? letters.Contains(" to ", StringComparison.Ordinal)
                    : letters.Split(' ', StringSplitOptions.RemoveEmptyEntries).All(one => one.Length == 1 && one[0] - 'a' < notes.Count),
                letters);
        }

        Assert.Contains(notes, note => note == "Refused: frost within a day.");
        Assert.Contains(days, day => day.QuerySelectorAll("rect.rainf").Length > 0);
        Assert.Contains(days, day => day.QuerySelectorAll("line.chill").Length > 0);
        Assert.Contains("first choice", text, StringComparison.Ordinal);
    }

    // 7 L of 5 g/L at 50 % copper are 17.5 g; on 14 m² that is 12.5 kg/ha. Regulation (EU) 2018/1981 gives fields 28 kg/ha in seven years.
    [Fact]
    public async Task The_ledger_adds_up_and_copper_over_the_benchmark_of_fields_is_a_thought_and_no_ban()
    {
        await using var house = await PageHouse.OpenAsync(Wall);

        var page = await house.GetAsync("/spraying");
        var thought = Text(page.QuerySelector(".care")!);
        var ledger = page.QuerySelectorAll("h2").First(head => Text(head) == "Copper ledger, white-peach").NextElementSibling!;

        Assert.Contains("It would bring white-peach to 37.5 kg/ha of copper in seven seasons.", thought, StringComparison.Ordinal);
        Assert.Contains(
            "Fields in the European Union may have 28 kg/ha. The figure does not bind a garden; the copper stays in the soil",
            thought,
            StringComparison.Ordinal);
        Assert.DoesNotContain("gate", thought, StringComparison.Ordinal);
        Assert.Equal(
            [
                "25 November 2025The blue tub, 7 L at 5 g/L|17.5 g|12.5 kg/ha",
                "22 November 2026The blue tub, 7 L at 5 g/L|17.5 g|12.5 kg/ha",
                "Carriedseven seasons|35 g|25 kg/ha",
                "Would beseven seasons|52.5 g|37.5 kg/ha",
            ],
            ledger.QuerySelectorAll("tbody tr").Where(row => !Text(row).StartsWith("if ", StringComparison.Ordinal))
                .Select(row => $"{Text(row.QuerySelector("th")!)}|{Text(row.Children[1])}|{Text(row.Children[2])}"));
        Assert.Contains("28 kg/ha, field benchmark", Text(page.QuerySelector("figure")!), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_label_comes_first_and_the_cautions_before_the_figures_of_the_mix()
    {
        await using var house = await PageHouse.OpenAsync(Wall);

        var page = await house.GetAsync("/spraying");
        var mix = page.QuerySelectorAll("h2").First(head => Text(head).StartsWith("The mix: The blue tub", StringComparison.Ordinal));

        Assert.Contains("care", mix.NextElementSibling!.ClassName, StringComparison.Ordinal);
        Assert.StartsWith("The label is the law", Text(mix.NextElementSibling!.QuerySelector("li")!), StringComparison.Ordinal);
        var amounts = mix.NextElementSibling!.NextElementSibling!.NextElementSibling!;
        Assert.Equal(["10 L", "50 g", "25 g"], amounts.QuerySelectorAll("td").Select(Text));
        Assert.Equal(
            "1 of 2",
            Text(
                page.QuerySelectorAll("h2").First(
                    head =>
                        Text(head).StartsWith(
                            "What the label", StringComparison.Ordinal)).NextElementSibling!.QuerySelector("tbody td:nth-child(2)")!));
    }

    [Fact]
    public async Task Too_late_is_said_as_such_and_refused_with_its_reason()
    {
        var march = new DateTimeOffset(2027, 4, 4, 6, 40, 0, TimeSpan.Zero);
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            Now = march,
            Past = [.. PageGarden.Weather(march.AddMinutes(-5), 30, airC: 12)],
            Forecast = null,
            Journal =
            [
                .. Winter,
                new StageEntry(0, "south-wall", "white-peach", new DateOnly(2027, 3, 26), 10),
                new StageEntry(0, "south-wall", "gate-nectarine", new DateOnly(2027, 4, 1), 10),
            ],
        });

        var page = await house.GetAsync("/spraying");

        Assert.Contains("Nothing to spray on both plantings", Text(page.QuerySelector("h1")!), StringComparison.Ordinal);
        Assert.Contains("No fresh forecast", Text(page.QuerySelector(".asof")!), StringComparison.Ordinal);
        Assert.Contains("copper burns them", Text(page.QuerySelector("main")!), StringComparison.Ordinal);
        Assert.Empty(page.QuerySelectorAll("table.tt"));
    }

    [Fact]
    public async Task In_US_units_the_figures_are_in_pounds_and_gallons_and_names_stay_text()
    {
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            File = PageGarden.InUsUnits(PageGarden.Wall)
                .Replace("name: The blue tub", "name: '<script>\"tub\"</script>'", StringComparison.Ordinal),
        });

        var page = await house.GetAsync("/spraying");
        var text = Text(page.QuerySelector("main")!);

        // 28 kg/ha are 24.98 lb/acre (NIST Handbook 44: 0.45359237 kg, 4046.8564224 m²).
        Assert.Contains("may have 24.98 lb/acre", text, StringComparison.Ordinal);
        Assert.Contains(" gal", text, StringComparison.Ordinal);
        Assert.Contains("<script>\"tub\"</script>", text, StringComparison.Ordinal);
        Assert.Empty(page.QuerySelectorAll("main script, [style]"));
    }

    private static string Text(IElement element) =>
        string.Join(' ', element.TextContent.Replace('\u00a0', ' ').Split((char[])[' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
}
