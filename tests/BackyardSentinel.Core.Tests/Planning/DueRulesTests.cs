using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

// When a spray is due is assumed where it is counted in days of the season, which begins on 1 September here; what counts
// as fallen is half of the leaves, on which sources disagree.
public class DueRulesTests
{
    private static readonly PlanPlanting Autumn = Bare(97) with { BudSwell = null, CurlLastSpring = true };

    [Theory]
    [InlineData("2026-10-30", false)]
    [InlineData("2026-10-31", true)]
    [InlineData("2027-03-30", true)]
    [InlineData("2027-03-31", false)]
    public void A_tree_of_unknown_stage_may_be_bare_from_day_60_to_day_210_of_the_season(string today, bool due) =>
        Assert.Equal(due, Due(today, Bare(null) with { BudSwell = null, CurlLastSpring = false }).Count == 1);

    [Theory]
    [InlineData("2026-08-31", "2026-11-30", true)] // Last season's: its date is guessed.
    [InlineData("2026-09-01", "2026-09-01", false)]
    [InlineData("2026-11-20", "2026-11-20", false)]
    [InlineData("2026-11-21", "2026-11-30", true)] // Tomorrow has not come.
    public void Leaf_fall_counts_from_the_first_day_of_the_season_to_today(string fell, string from, bool guessed)
    {
        var due = Due("2026-11-20", Autumn with { LeafFall = Fell(fell, 90) })[0];

        Assert.Equal((DueTask.LeafFall, Date(from), guessed), (due.What, due.From, due.FromIsGuessed));
    }

    [Theory]
    [InlineData(49, "2026-12-15", true, "wait until half to nearly all are")]
    [InlineData(50, "2026-11-15", false, "50 % of the leaves were down on 15 Nov")]
    public void Half_of_the_leaves_down_are_enough(double pct, string from, bool guessed, string words)
    {
        var due = Due("2026-11-20", Autumn with { LeafFall = Fell("2026-11-15", pct) })[0];

        Assert.Equal((Date(from), Date("2026-12-15"), guessed), (due.From, due.By, due.FromIsGuessed));
        Assert.EndsWith(words, due.Why.Text, StringComparison.Ordinal);
        Assert.StartsWith("it had curl last spring; ", due.Why.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_leaf_fall_spray_has_thirty_days_and_never_longer_than_to_the_early_date()
    {
        Assert.Equal(Date("2026-12-30"), Due("2026-11-20", Autumn)[0].By);

        var early = Swell with { Early = new(2027, 1, 2) };
        var due = Due("2026-11-20", Autumn with { BudSwell = early, LeafFall = Fell("2026-11-15", 90) });
        Assert.Equal([Date("2026-12-15"), early.Early], due.Select(one => one.By!.Value));
        due = Due("2026-11-20", Autumn with { BudSwell = Swell with { Early = new(2026, 12, 12) }, LeafFall = Fell("2026-11-18", 90) });
        // 42 days before that early date have begun: the late-winter spray has its time.
        Assert.Equal(DueTask.LateWinter, Assert.Single(due).What);
    }

    [Theory]
    [InlineData("2026-12-25", true)]
    [InlineData("2026-12-26", false)]
    public void A_spray_counts_as_the_late_winter_one_from_42_days_before_the_early_date(string sprayed, bool stillDue)
    {
        var due = Due("2027-01-20", Bare() with { Cover = Cover.Recheck }, Spray(1, sprayed));

        Assert.Equal(stillDue ? DueTask.LateWinter : DueTask.LookAtCover, Assert.Single(due).What);
        if (stillDue)
            Assert.Contains("; that of 25 Dec lies more than six weeks before it", due[0].Why.Text, StringComparison.Ordinal);
    }

    // Buds that swell three weeks later than was expected: what was done is done, as long as no rain has worn it.
    [Theory]
    [InlineData("2026-12-04", true)]
    [InlineData("2026-12-05", false)]
    public void A_spray_that_is_fresh_counts_from_63_days_before_the_early_date(string sprayed, bool stillDue) =>
        Assert.Equal(stillDue, Due("2027-01-20", Bare() with { Cover = Cover.Fresh }, Spray(1, sprayed)).Count == 1);

    [Theory]
    [InlineData("2026-12-29", true)]
    [InlineData("2026-12-30", false)]
    public void Where_no_swell_is_expected_it_counts_from_day_120_of_the_season(string sprayed, bool stillDue) =>
        Assert.Equal(
            stillDue,
            Due("2027-01-20", Bare() with { BudSwell = null, Cover = Cover.Fresh }, Spray(1, sprayed)).Count == 1);

    [Theory]
    [InlineData("2026-10-30", 2)]
    [InlineData("2026-10-31", 1)]
    public void A_spray_counts_as_the_one_at_leaf_fall_from_day_60_of_the_season(string sprayed, int due) =>
        Assert.Equal(due, Due("2026-11-20", Autumn, Spray(1, sprayed)).Count);

    [Theory]
    [InlineData("2026-11-14", 2)]
    [InlineData("2026-11-15", 1)]
    public void Where_leaf_fall_is_noted_it_counts_from_that_day(string sprayed, int due) =>
        Assert.Equal(due, Due("2026-11-20", Autumn with { LeafFall = Fell("2026-11-15", 90) }, Spray(1, sprayed)).Count);

    [Theory]
    [InlineData(149.9, 1)]
    [InlineData(150, 2)]
    public void A_winter_is_wet_from_150_mm_in_60_days(double rainMm, int due)
    {
        var plan = SprayPlanner.Plan(Request(Autumn with { CurlLastSpring = false }, Copper) with
        {
            AsOf = At("2026-11-20"),
            Forecast = null,
            RainLast60DaysMm = rainMm,
        });

        Assert.Equal(due, plan.Plantings[0].Due.Count);
    }

    [Fact]
    public void A_shelter_is_due_from_leaf_fall_to_the_early_date_where_one_is_used()
    {
        var sheltered = Bare() with { UsesShelter = true };

        var due = Assert.Single(Due("2027-01-20", sheltered));
        Assert.Equal((DueTask.Shelter, Swell.Early, Date("2026-11-30"), true), (due.What, due.By, due.From, due.FromIsGuessed));
        due = Assert.Single(Due("2027-01-20", sheltered with { LeafFall = Fell("2026-11-10", 50) }));
        Assert.Equal((Date("2026-11-10"), false), (due.From, due.FromIsGuessed));
        due = Assert.Single(Due("2027-01-20", sheltered with { LeafFall = Fell("2026-11-10", 49) }));
        Assert.Equal((Date("2026-11-30"), true), (due.From, due.FromIsGuessed));
        // Buds that swell before the guessed day of leaf fall: the earlier day holds.
        due = Assert.Single(Due("2026-11-20", sheltered with { BudSwell = Swell with { Early = new(2026, 11, 25) } }));
        Assert.Equal((Date("2026-11-25"), Date("2026-11-25")), (due.By, due.From));
        Assert.StartsWith("one was over it this season or the last; from leaf fall", due.Why.Text, StringComparison.Ordinal);

        due = Assert.Single(Due("2027-01-20", sheltered with { Stage = 1 }));
        Assert.Equal(Today, due.By);
        Assert.Contains("put it up today", due.Why.Text, StringComparison.Ordinal);
        due = Assert.Single(Due("2027-01-20", sheltered with { BudSwell = null }));
        Assert.Null(due.By);
        Assert.Contains("look at them every week", due.Why.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_shelter_that_is_on_or_a_spray_that_was_made_asks_for_none()
    {
        Assert.Empty(Due("2027-01-20", Bare() with { UsesShelter = true, ShelteredSince = Date("2026-12-01") }));
        Assert.Empty(Due("2027-01-20", Bare() with { UsesShelter = true, Cover = Cover.Fresh }, Spray(1, "2027-01-10")));
    }

    [Fact]
    public void A_garden_without_a_product_against_curl_for_the_tree_is_offered_a_shelter()
    {
        Assert.Contains("no product against curl", Assert.Single(Due("2027-01-20", Bare(), Oil)).Why.Text, StringComparison.Ordinal);
        var excluded = Copper with { Label = new() { ExcludedKinds = [TreeKind.Peach] } };
        Assert.Equal(DueTask.Shelter, Assert.Single(Due("2027-01-20", Bare(), excluded)).What);
        Assert.Equal(DueTask.LateWinter, Assert.Single(Due("2027-01-20", Bare(kind: TreeKind.Nectarine), excluded)).What);
    }

    [Theory]
    [InlineData(Cover.Spent, DueTask.Repeat)]
    [InlineData(Cover.Recheck, DueTask.LookAtCover)]
    public void What_rain_has_left_of_a_late_winter_spray_is_to_be_seen_to_by_the_early_date(Cover cover, DueTask what)
    {
        var due = Assert.Single(Due("2027-01-20", Bare() with { Cover = cover }, Spray(1, "2027-01-05")));
        Assert.Equal((what, Swell.Early), (due.What, due.By));
        Assert.StartsWith("rain since the last spray: ", due.Why.Text, StringComparison.Ordinal);
        // While buds swell there is no repeating it.
        Assert.Empty(Due("2027-01-20", Bare(1) with { Cover = cover }, Spray(1, "2027-01-05")));
    }

    private static IReadOnlyList<DueSpray> Due(string today, PlanPlanting planting, params SprayEntry[] sprays) =>
        Due(today, planting, Copper, sprays);

    private static IReadOnlyList<DueSpray> Due(string today, PlanPlanting planting, SprayProduct product, params SprayEntry[] sprays) =>
        SprayPlanner.Plan(Request(planting, product, sprays) with { AsOf = At(today), Forecast = null }).Plantings[0].Due;

    private static LeafFallEntry Fell(string on, double pct) => new(1, "south-wall", Peach, Date(on), pct);

    private static DateOnly Date(string on) => DateOnly.ParseExact(on, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);

    private static DateTimeOffset At(string on) => new(Date(on), new TimeOnly(6, 0), TimeSpan.Zero);
}
