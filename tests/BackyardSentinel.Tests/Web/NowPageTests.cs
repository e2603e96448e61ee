using AngleSharp.Html.Dom;

namespace BackyardSentinel.Web;

/// <summary>The page Now in each of its states: one sentence that a tired person understands, and never clear for unknown.</summary>
public sealed class NowPageTests
{
    [Theory]
    [InlineData("first-day", "unknown", "Nothing is known yet.")]
    [InlineData("winter", "clear, 0 of 4", "Winter rest. Last dormant spray by")]
    [InlineData("in-leaf", "clear, 0 of 4", "The infection season is over. The leaves are still on.")]
    [InlineData("clear", "clear, 0 of 4", "Dry enough. No curl weather at south-wall.")]
    [InlineData("building", "building, 1 of 4", "Wet for 5.8 h. Infection becomes possible about 14:")]
    [InlineData("possible", "possible, 2 of 4", "Curl weather possible since 06:")]
    [InlineData("likely", "likely, 3 of 4", "Curl weather likely since")]
    [InlineData("severe", "severe, 4 of 4", "Curl weather severe since")]
    [InlineData("covered", "possible, 2 of 4, covered", "Curl weather possible since 06:")]
    [InlineData("maybe", "possible, 2 of 4", "If the buds have opened: curl weather possible since 06:")]
    [InlineData("unknown", "unknown", "Unknown since")]
    [InlineData("refused", "unknown", "Unknown since")]
    [InlineData("sheltered", "clear, 0 of 4", "The rain shelter keeps the rain off at south-wall.")]
    [InlineData("over", "clear, 0 of 4", "The infection season is over for white-peach and the gate.")]
    public async Task Its_sentence_says_how_it_stands(string state, string kick, string sentence)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state]);

        var page = await house.GetAsync("/");

        Assert.Equal(kick, Text(page, ".kick span"));
        Assert.StartsWith(sentence, Text(page, "h1"), StringComparison.Ordinal);
        // What is unknown is nowhere called clear, and no mark stands without its word.
        foreach (var level in page.QuerySelectorAll(".level, .kick, .ribbon, .contents em").Where(_ => kick == "unknown"))
        {
            Assert.DoesNotContain("clear", level.TextContent, StringComparison.Ordinal);
            Assert.DoesNotContain("dry", level.TextContent, StringComparison.Ordinal);
        }

        var marks = page.QuerySelectorAll("svg.lv");
        Assert.NotEmpty(marks);
        Assert.All(marks, mark => Assert.Equal("true", mark.GetAttribute("aria-hidden")));
        Assert.All(marks, mark => Assert.NotEqual("", mark.ParentElement!.TextContent.Trim('?', ' ', '\n')));
    }

    [Fact]
    public async Task A_sum_that_is_short_is_told_with_what_is_missing()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["building"]);

        var page = await house.GetAsync("/");

        var rows = page.QuerySelectorAll("table.has tbody tr").Select(row => row.TextContent.Replace('\u00a0', ' ')).ToList();
        Assert.Contains(
            rows,
            row =>
                row.Contains("time wet", StringComparison.Ordinal)
                    && row.Contains("12.5 h", StringComparison.Ordinal)
                    && row.Contains("6.7 h more", StringComparison.Ordinal));
    }

    [Fact]
    public async Task The_tree_that_was_sprayed_and_the_one_that_was_not_are_told_apart()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["covered"]);

        var page = await house.GetAsync("/");

        Assert.Contains("white-peach is covered.", Text(page, "main"), StringComparison.Ordinal);
        Assert.Contains("the gate is not covered.", Text(page, "main"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Buds_that_nobody_has_seen_are_asked_for()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["maybe"]);

        var page = await house.GetAsync("/");

        Assert.Contains("Today, by daylight: look at the buds of", Text(page, ".todo"), StringComparison.Ordinal);
        Assert.Equal("/journal/stage", page.QuerySelector(".todo a")!.GetAttribute("href"));
    }

    [Fact]
    public async Task Figures_are_told_in_the_garden_s_own_units()
    {
        var garden = PageStates.All["possible"];
        await using var house = await PageHouse.OpenAsync(garden with
        {
            File = PageGarden.InUsUnits(garden.File),
        });

        var headline = Text(await house.GetAsync("/"), "h1");

        Assert.Contains("°F", headline, StringComparison.Ordinal);
        Assert.Contains("in", headline, StringComparison.Ordinal);
        Assert.DoesNotContain("mm", headline, StringComparison.Ordinal);
    }

    private static string Text(IHtmlDocument page, string where) =>
        string.Join(' ', page.QuerySelectorAll(where).Select(one => one.TextContent)).Replace('\u00a0', ' ').Trim();
}
