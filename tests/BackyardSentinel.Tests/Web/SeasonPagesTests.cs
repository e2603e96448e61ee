using System.Net;
using AngleSharp.Dom;

namespace BackyardSentinel.Web;

/// <summary>The pages Weather and Year, and the report of the running season, in each state of the garden.</summary>
public sealed class SeasonPagesTests
{
    public static TheoryData<string> States => [.. PageStates.All.Keys];

    [Theory]
    [MemberData(nameof(States))]
    public async Task Each_drawing_has_its_news_and_its_table_in_each_state(string state)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state]);

        string[] paths = ["/weather", "/weather?days=3", "/weather?days=30", "/year", "/year?planting=gate-nectarine", "/report"];
        foreach (var path in paths)
        {
            var page = await house.GetAsync(path);
            Assert.All(page.QuerySelectorAll("svg[role=img]"), drawing =>
            {
                Assert.NotEqual("", drawing.QuerySelector("title")!.TextContent);
                Assert.NotEqual("", drawing.QuerySelector("desc")!.TextContent);
            });
            Assert.NotEmpty(page.QuerySelectorAll("svg[role=img]"));
            Assert.Empty(page.QuerySelectorAll("[style], script:not([src])"));
            Assert.DoesNotContain('{', page.QuerySelector("main")!.TextContent);
            Assert.NotEmpty(page.QuerySelectorAll("table"));
        }
    }

    [Theory]
    [InlineData("first-day", "Nothing is known yet.")]
    [InlineData("clear", "Dry as long as anything is known, since Mon 1 March, 20:20.")]
    [InlineData("possible", "Wet since")]
    [InlineData("unknown", "Nobody knows how wet it is: too little has come since")]
    [InlineData("refused", "Nobody knows how wet it is: too little has come since")]
    public async Task Weather_says_how_wet_it_is_and_never_dry_for_unknown(string state, string sentence)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state]);

        Assert.StartsWith(sentence, Headline(await house.GetAsync("/weather")), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("possible", "white-peach: leaf buds begin to swell.")]
    [InlineData("maybe", "white-peach: the buds may have opened; nobody has looked yet.")]
    public async Task Year_says_where_the_tree_is(string state, string sentence)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state]);

        Assert.Equal(sentence, Headline(await house.GetAsync("/year")));
    }

    [Fact]
    public async Task In_the_first_minutes_of_a_season_the_tree_does_not_stand_as_it_did_at_the_end_of_the_last()
    {
        // Ten minutes after midnight on 1 September; the last readings are of August.
        await using var house = await PageHouse.OpenAsync(PageStates.All["in-leaf"] with
        {
            Now = new DateTimeOffset(2026, 8, 31, 22, 10, 0, TimeSpan.Zero),
            Past = [.. PageStates.Hourly(new DateTimeOffset(2026, 8, 31, 20, 0, 0, TimeSpan.Zero), 15 * 24, 16, 70)],
        });

        var page = await house.GetAsync("/year");
        Assert.Equal("white-peach: a new season begins; nothing has been measured in it yet.", Headline(page));
        Assert.DoesNotContain("Chill was met", page.Body!.TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Buds_seen_before_the_first_reading_are_told_as_seen()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["likely"]);
        var report = (await house.GetAsync("/report")).Body!.TextContent;
        Assert.Contains("Its buds were seen to swell on 26 February.", report, StringComparison.Ordinal);
        Assert.DoesNotContain("by the sums", report, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_asked_for_and_is_not_there_is_not_made_up()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"]);
        var usual = (await house.GetAsync("/weather?days=99%22%3E%3Cb")).QuerySelector(".pick b")!.TextContent;
        using var answer = await house.Browser.GetAsync(
            new Uri("/year?planting=elsewhere", UriKind.Relative), TestContext.Current.CancellationToken);

        Assert.Equal("7 days", usual.Replace('\u00a0', ' '));
        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
    }

    [Fact]
    public async Task Whatever_a_planting_is_called_is_text()
    {
        var garden = PageStates.All["severe"];
        await using var house = await PageHouse.OpenAsync(garden with
        {
            File = garden.File.Replace("name: the gate", "name: '</svg><script>alert(1)</script>\"&'", StringComparison.Ordinal),
        });

        foreach (var path in new[] { "/", "/weather", "/year?planting=gate-nectarine", "/report" })
        {
            var page = await house.GetAsync(path);
            Assert.DoesNotContain(page.Scripts, script => script.TextContent.Contains("alert", StringComparison.Ordinal));
            Assert.Contains("</svg><script>alert(1)</script>\"&", page.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Days_are_told_one_by_one_with_what_was_unknown()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["unknown"]);
        var rows = (await house.GetAsync("/")).QuerySelectorAll("main details table tbody tr");

        Assert.Equal(15, rows.Length);
        Assert.EndsWith("unknown", rows[^1].TextContent.Trim(), StringComparison.Ordinal);
        Assert.Contains(rows, row => row.TextContent.Contains("clear 0", StringComparison.Ordinal));
    }

    private static string Headline(IDocument page) => page.QuerySelector("h1")!.TextContent.Replace('\u00a0', ' ');
}
