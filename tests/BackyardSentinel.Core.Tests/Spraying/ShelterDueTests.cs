using BackyardSentinel.Alerting;
using BackyardSentinel.Watching;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Spraying;

/// <summary>A planting on which nothing may be sprayed, or nothing is, is spoken to of its rain shelter instead.</summary>
public class ShelterDueTests
{
    private static readonly PlanPlanting Bare = new() { Id = Peach, Stage = 0, BudSwell = Swell };

    private static readonly Site Place = new() { Id = "south-wall", LatitudeDeg = 46, Plantings = [new Planting(Peach)] };

    [Fact]
    public void Without_a_product_for_it_the_shelter_is_due_by_the_earliest_swell_and_no_spray()
    {
        var due = Assert.Single(Plan(Bare, Oil).Plantings[0].Due);

        Assert.Equal((DueTask.Shelter, (DateOnly?)Swell.Early), (due.What, due.By));
        Assert.Contains("open at the sides", due.Why.Text, StringComparison.Ordinal);
        Assert.Equal(
            DueTask.Shelter,
            Assert
                .Single(
                    Plan(
                        Bare with { Kind = TreeKind.Apricot },
                        LimeSulfur with { Label = new LabelLimit { ExcludedKinds = [TreeKind.Apricot] } })
                        .Plantings[0]
                        .Due)
                .What);
        Assert.DoesNotContain(Plan(Bare, Copper).Plantings[0].Due, spray => spray.What == DueTask.Shelter);
    }

    [Fact]
    public void When_the_earliest_swell_has_passed_it_is_to_be_put_up_today_and_no_spray_is_spoken_of()
    {
        var late = Bare with { BudSwell = Swell with { Early = Swell.Early.AddDays(-90) } };

        var why = Assert.Single(Plan(late, Oil).Plantings[0].Due).Why.Text;

        Assert.Contains("that day has passed: put it up today", why, StringComparison.Ordinal);
        Assert.DoesNotContain("spray", why, StringComparison.Ordinal);
    }

    [Fact]
    public void Who_had_one_last_year_is_asked_for_it_again_unless_a_spray_was_made()
    {
        var used = Bare with { UsesShelter = true };

        Assert.Equal(DueTask.Shelter, Assert.Single(Plan(used, Copper).Plantings[0].Due).What);
        Assert.DoesNotContain(Plan(used, Copper, Spray(1, "2026-11-20")).Plantings[0].Due, spray => spray.What == DueTask.Shelter);
    }

    [Fact]
    public void While_it_is_on_nothing_is_due_and_the_plan_says_why()
    {
        var plan = Plan(Bare with { ShelteredSince = new DateOnly(2026, 11, 15), CurlLastSpring = true }, Copper);

        Assert.Empty(plan.Plantings[0].Due);
        Assert.Contains(plan.Notes, note => note.Text.Contains("its rain shelter is on", StringComparison.Ordinal));
        Assert.Empty(SprayOccasions.Of(plan, Place));
    }

    [Theory]
    [InlineData(30, 0)]
    [InlineData(8, 0)]
    [InlineData(7, 1)]
    [InlineData(1, 1)]
    [InlineData(0, 2)]
    [InlineData(-9, 2)]
    public void It_is_told_at_leaf_fall_a_week_before_the_earliest_swell_and_when_that_has_come(int daysLeft, int rung)
    {
        var swell = Swell with { Early = Today.AddDays(daysLeft), Expected = Today.AddDays(daysLeft + 9) };

        var told = Assert.IsType<ShelterDue>(Assert.Single(SprayOccasions.Of(Plan(Bare with { BudSwell = swell }, Oil), Place)));

        Assert.Equal((rung, 2027), (told.Rung, told.Season));
    }

    [Fact]
    public void Before_the_leaves_are_down_nothing_is_told()
    {
        var early = Request(
            Bare with
            {
                LeafFall = new LeafFallEntry(1, "south-wall", Peach, new DateOnly(2026, 11, 5), 20),
                BudSwell = null,
            },
            Oil
        ) with
        {
            AsOf = new DateTimeOffset(2026, 11, 10, 6, 0, 0, TimeSpan.Zero),
        };
        var down = early with
        {
            Plantings = [early.Plantings[0] with { LeafFall = new LeafFallEntry(1, "south-wall", Peach, new DateOnly(2026, 11, 8), 80) }],
        };

        Assert.Empty(SprayOccasions.Of(SprayPlanner.Plan(early), Place));
        Assert.Equal(0, Assert.IsType<ShelterDue>(Assert.Single(SprayOccasions.Of(SprayPlanner.Plan(down), Place))).Rung);
    }

    private static SprayPlan Plan(PlanPlanting planting, SprayProduct product, params SprayEntry[] sprays) =>
        SprayPlanner.Plan(Request(planting, product, sprays));
}
