using BackyardSentinel.Spraying;

namespace BackyardSentinel.Tests.Planning;

/// <summary>From the first day of its season on a tree is dormant by its buds, and holds its leaves for months.</summary>
public class FoliageTests
{
    private static readonly SprayProduct Copper = SprayTemplates.All.Single(one => one.Id == "fixed-copper") with { DosePerL = 5 };

    private static readonly SprayProduct Oil = SprayTemplates.All.Single(one => one.Id == "dormant-oil") with { DosePerL = 20 };

    // The north's season begins on 1 September. That leaves fall about the end of November is assumed, and nobody notes it on the day.
    [Theory]
    [InlineData("2026-09-01", null, null, true)]
    [InlineData("2026-10-30", null, null, true)]
    [InlineData("2026-10-31", null, null, false)]
    [InlineData("2026-10-12", "2026-10-11", 50, false)]
    [InlineData("2026-10-12", "2026-10-11", 49, true)]
    [InlineData("2026-11-29", "2026-10-11", 49, true)]
    [InlineData("2026-11-30", "2026-10-11", 49, false)]
    [InlineData("2026-09-20", "2025-11-11", 90, true)] // Of the autumn before.
    public void Nothing_may_go_on_a_tree_that_holds_its_leaves(string today, string? fallenOn, int? fallenPct, bool refused)
    {
        var plan = PlanOf(today, new PlanPlanting
        {
            Id = "tree",
            Stage = 0,
            BudSwell = new ExpectedSwell(new(2027, 3, 20), new(2027, 3, 16), new(2027, 3, 26), $"invented"),
            LeafFall = fallenOn is null ? null : new LeafFallEntry(1, "garden", "tree", Day(fallenOn), fallenPct!.Value),
        });

        Assert.Equal(refused ? 2 : 0, plan.Refused.Count);
        Assert.All(plan.Refused, one => Assert.Matches("taken to be on until|% of the leaves were down", one.Reason.Text));
        Assert.Equal(refused, plan.Plantings[0].IsInLeaf);
    }

    [Theory]
    [InlineData(0, true, false)] // Bare buds were seen.
    [InlineData(97, true, false)]
    [InlineData(null, true, true)] // Of a tree that is not followed nobody has seen anything.
    public void What_the_grower_saw_of_the_tree_tells(int? stage, bool seen, bool refused) => Assert.Equal(
        refused,
        PlanOf("2026-09-10", new PlanPlanting { Id = "tree", Stage = stage, StageIsSeen = seen }).Plantings[0].IsInLeaf);

    private static SprayPlan PlanOf(string today, PlanPlanting planting) => SprayPlanner.Plan(new PlanRequest
    {
        AsOf = new DateTimeOffset(Day(today), new TimeOnly(9, 0), TimeSpan.Zero),
        Plantings = [planting],
        Products = [Copper, Oil],
        Ledger = new SprayLedger(
            [], [Copper, Oil], new Dictionary<string, double>(), day => new SeasonCalendar(46).SeasonOf(day)!.Value.Year),
    });

    private static DateOnly Day(string text) => DateOnly.Parse(text, CultureInfo.InvariantCulture);
}
