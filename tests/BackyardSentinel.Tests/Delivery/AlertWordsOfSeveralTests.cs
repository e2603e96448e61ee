using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Tests.Delivery;

/// <summary>The words of a message that is about several plantings.</summary>
public class AlertWordsOfSeveralTests
{
    private static readonly AlertWords Words = AlertWords.English();
    private static readonly DateTimeOffset At = new(2027, 3, 4, 9, 10, 0, TimeSpan.Zero);

    [Fact]
    public void Plantings_that_have_all_in_common_are_named_together_and_everything_stands_once()
    {
        var text = Say(Spent("old-peach", 51.2), Spent("apricot", 51.2));

        Assert.Equal("Cover spent: old-peach and apricot, south-wall", text.Title);
        Assert.StartsWith("copper on old-peach and apricot at south-wall, sprayed Sat 20 Feb,", text.Body, StringComparison.Ordinal);
        Assert.Equal(4, text.Body.Split('\n').Length);
    }

    [Fact]
    public void What_differs_is_said_for_each_and_the_title_is_the_most_urgent_ones()
    {
        var text = Say(Risen("old-peach", Level.Likely), Risen("apricot", Level.Possible), Risen("nectarine", Level.Likely));

        Assert.Contains("ikely", text.Title, StringComparison.Ordinal);
        Assert.Contains("2 plantings", text.Title, StringComparison.Ordinal);
        Assert.DoesNotContain("apricot", text.Title, StringComparison.Ordinal);
        var lines = text.Body.Split('\n');
        Assert.Equal(5, lines.Length);
        Assert.StartsWith("Likely infection weather on old-peach and nectarine at south-wall", lines[0], StringComparison.Ordinal);
        Assert.StartsWith("Possible infection weather on apricot at south-wall", lines[1], StringComparison.Ordinal);
    }

    [Fact]
    public void Which_of_two_trees_has_the_shelter_is_said_and_what_both_share_stands_once()
    {
        SeasonClosed closed = new("south-wall", "old-apricot", At, WarmDays: true), wall = new("south-wall", "wall-nectarine", At, true);
        var text = Say(closed, wall with { Sheltered = true, CurlMayShow = true });

        var lines = text.Body.Split('\n');
        Assert.Matches("^No more infection on old-apri.* at south-wall this season, since Thu 4 Mar 09:10\\.$", lines[0]);
        Assert.Matches("^No more infection on wall-nec.* 09:10: its shelter may come off; note it \\(shelter off\\)\\.$", lines[1]);
        Assert.Equal("A week of days above 22 °C has passed since petal fall.", lines[2]);
        Assert.EndsWith("keep looking.", lines[^1], StringComparison.Ordinal);
        Assert.InRange(text.Body.Length, 400, AlertWords.MaxBody);
    }

    [Fact]
    public void Three_are_listed()
    {
        var text = Say(Spent("a", 51.2), Spent("b", 51.2), Spent("c", 51.2));

        Assert.Equal("Cover spent: a, b and c, south-wall", text.Title);
    }

    [Fact]
    public void Too_many_for_a_title_are_counted_in_it_and_named_below()
    {
        var trees = Enumerable.Range(1, 6).Select(i => $"row-of-peaches-{i}").ToList();

        var text = Say([.. trees.Select(tree => Spent(tree, 51.2))]);

        Assert.Equal("Cover spent: 6 plantings, south-wall", text.Title);
        Assert.All(trees, tree => Assert.Contains(tree, text.Body, StringComparison.Ordinal));
    }

    [Fact]
    public void However_many_and_different_they_are_the_limits_hold()
    {
        var text = Say([.. Enumerable.Range(1, 40).Select(i => Spent(new string('w', 36) + $"-{i}", 50 + i))]);

        Assert.InRange(text.Title.Length, 5, AlertWords.MaxTitle);
        Assert.InRange(text.Body.Length, 40, AlertWords.MaxBody);
    }

    [Fact]
    public void A_summary_has_one_line_for_each_piece_of_news()
    {
        Occasion[] occasions = [Spent("old-peach", 51.2), Spent("apricot", 51.2), new DiskLow(At, 90)];

        var text = Words.Say(Alert.Of(occasions, At), _ => TimeZoneInfo.Utc);

        Assert.StartsWith("2 alerts", text.Title, StringComparison.Ordinal);
        // A line at the top, one for each of the two, and one of caution, since a spray is named.
        Assert.Equal(4, text.Body.Split('\n').Length);
        Assert.Contains("old-peach and apricot", text.Body, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(8, 0)]
    [InlineData(9, 1)]
    public void A_summary_lists_eight_and_counts_the_rest(int count, int more)
    {
        Occasion[] occasions =
            [.. Enumerable.Range(1, count).Select(i => new CoverSpent($"s{i}", "a", At, "copper", 51.2, new DateOnly(2027, 2, 20)))];

        var lines = Words.Say(Alert.Of(occasions, At), _ => TimeZoneInfo.Utc).Body.Split('\n');

        Assert.Equal(
            Enumerable.Range(1, 8).Select(i => $"Thu 4 Mar 09:10: Cover spent: a, s{i}"),
            lines.Where(line => line.StartsWith("Thu", StringComparison.Ordinal)));
        Assert.Equal(more > 0, lines.Any(line => line.Contains($"{more} more", StringComparison.Ordinal)));
    }

    private static AlertText Say(params Occasion[] occasions) => Words.Say(Alert.Together(occasions, At), _ => TimeZoneInfo.Utc);

    private static CoverSpent Spent(string tree, double rainMm) => new("south-wall", tree, At, "copper", rainMm, new DateOnly(2027, 2, 20));

    private static LevelRisen Risen(string tree, Level level) =>
        new("south-wall", tree, At, level, Level.Building, At, At.AddHours(-20))
        {
            Rule = Garden.RuleName.WetHours.Word(),
            WetHours = 20,
            RainMm = 5,
            MeanTempC = 8,
            Cover = Garden.Cover.None,
            LookFrom = new DateOnly(2027, 3, 13),
        };
}
