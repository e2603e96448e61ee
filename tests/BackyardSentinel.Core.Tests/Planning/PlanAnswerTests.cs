using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

public class PlanAnswerTests
{
    private static string Answer(PlanRequest request) => PlanAnswer.Of(request, SprayPlanner.Plan(request)).Text;

    private static PlanRequest Two(PlanPlanting other, params SprayProduct[] products)
    {
        var request = Request(Bare(), Copper);
        return request with
        {
            Plantings = [Bare(), other with { Id = "low-terrace" }],
            Products = products.Length > 0 ? products : request.Products,
        };
    }

    [Fact]
    public void Both_trees_get_one_sentence_with_the_slot_and_the_earlier_last_day()
    {
        var later = Swell with { Early = new DateOnly(2027, 2, 9) };
        Assert.Equal(
            "Spray copper on both trees on Wed 20 Jan 06:00–Sat 30 Jan 06:00; the last day is 6 Feb.",
            Answer(Two(Bare() with { BudSwell = later })));
        Assert.StartsWith("Spray copper on both plantings on ", Answer(Two(Bare() with { Trees = 3 })), StringComparison.Ordinal);
    }

    /// <summary>Lime sulfur is refused from the early date on, and a label that is used up on each day.</summary>
    [Fact]
    public void The_last_day_is_one_on_which_a_product_may_go_on_and_where_there_is_none_that_by_which_it_is_due()
    {
        Assert.EndsWith("; the last day is 23 Jan.", Answer(Request(By(24), LimeSulfur)), StringComparison.Ordinal);
        Assert.DoesNotContain("last day", Answer(Request(By(21), LimeSulfur)), StringComparison.Ordinal);

        var usedUp = Copper with { Label = Copper.Label with { MaxApplicationsPerSeason = 1 } };
        var refused = Answer(Request(By(24), usedUp, Spray(1, "2026-11-20")));
        Assert.StartsWith("Nothing may go on white-peach now: ", refused, StringComparison.Ordinal);
        Assert.EndsWith("; the last day is 24 Jan.", refused, StringComparison.Ordinal);

        static PlanPlanting By(int january) => Bare() with { BudSwell = Swell with { Early = new DateOnly(2027, 1, january) } };
    }

    [Fact]
    public void Oil_is_never_the_answer()
    {
        Assert.Equal("Put the rain shelter over both trees; the last day is 6 Feb.", Answer(Two(Bare(), Oil)));
        Assert.DoesNotContain("oil", Answer(Two(Bare(), Oil, Copper)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_tree_that_stands_under_a_shelter_each_winter_is_not_offered_a_spray()
    {
        Assert.Equal(
            "Put the rain shelter over white-peach; the last day is 6 Feb.",
            Answer(Request(Bare() with { UsesShelter = true }, Copper)));
        Assert.Equal(
            "Nothing to spray on white-peach: its rain shelter is on.",
            Answer(Request(Bare() with { ShelteredSince = new DateOnly(2026, 11, 15), UsesShelter = true }, Copper)));
    }

    [Fact]
    public void Trees_of_which_different_things_are_to_be_said_get_a_part_each()
    {
        Assert.Equal(
            "Spray copper on white-peach on Wed 20 Jan 06:00–Sat 30 Jan 06:00, last day 6 Feb; nothing to spray on low-terrace: "
                + "nothing sprayed in leaf or blossom stops curl.",
            Answer(Two(Bare(65) with { BudSwell = null })));
    }

    [Theory]
    [InlineData(null)]
    [InlineData(1)]
    public void Buds_that_may_have_moved_are_to_be_looked_at_first(int? stage) =>
        Assert.StartsWith(
            "Look at the buds of white-peach first; if they are still closed, spray copper on ",
            Answer(Request(Bare(stage), Copper)),
            StringComparison.Ordinal);

    [Fact]
    public void An_early_date_that_has_passed_asks_for_a_look_too() =>
        Assert.StartsWith(
            "Look at the buds of white-peach first; if they are still closed, spray copper on ",
            Answer(Request(Bare() with { BudSwell = Swell with { Early = Today.AddDays(-1) } }, Copper)),
            StringComparison.Ordinal);

    // Without hours to name the day itself decides: today the buds may swell, tomorrow they may.
    [Theory]
    [InlineData(0, "Look at the buds of white-peach first; if they are still closed, spray copper; without")]
    [InlineData(1, "Spray copper on white-peach; without")]
    public void From_the_early_date_on_a_look_comes_first(int daysAhead, string start) =>
        Assert.StartsWith(
            start,
            Answer(Request(Bare() with { BudSwell = Swell with { Early = Today.AddDays(daysAhead) } }, Copper) with { Forecast = null }),
            StringComparison.Ordinal);

    [Fact]
    public void A_spray_that_would_not_count_yet_is_not_asked_for()
    {
        var swell = new ExpectedSwell(new(2027, 3, 30), new(2027, 3, 25), new(2027, 4, 4), $"invented");
        // 42 days before 25 March.
        Assert.Equal(
            "Do not spray yet: the late-winter spray on white-peach counts from 11 Feb; the last day is 25 Mar.",
            Answer(Request(Bare() with { BudSwell = swell }, Copper)));
    }

    [Fact]
    public void A_slot_on_the_first_day_that_counts_is_taken()
    {
        // 42 days before 4 March is tomorrow, and only tomorrow is calm.
        var swell = new ExpectedSwell(new(2027, 3, 10), new(2027, 3, 4), new(2027, 3, 16), $"invented");
        var calm = Fair((_, hour) => DateOnly.FromDateTime(hour.Start.UtcDateTime) == Today.AddDays(1) ? hour : hour with { WindMs = 9 });

        Assert.StartsWith(
            "Spray copper on white-peach on Thu 21 Jan ",
            Answer(Request(Bare() with { BudSwell = swell }, Copper) with { Forecast = calm }),
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_last_day_is_told_while_it_is_to_come()
    {
        Assert.EndsWith("; the last day is 21 Jan.", Answer(Swelling(Today.AddDays(1))), StringComparison.Ordinal);
        Assert.DoesNotContain("last day", Answer(Swelling(Today)), StringComparison.Ordinal);

        PlanRequest Swelling(DateOnly early) => Request(Bare() with { BudSwell = Swell with { Early = early } }, Copper);
    }

    [Fact]
    public void A_shelter_is_due_from_the_very_day_on()
    {
        // Half of the leaves are guessed to be down on 30 November.
        Assert.StartsWith("Put the rain shelter over white-peach when half of the leaves", On(29), StringComparison.Ordinal);
        Assert.Equal("Put the rain shelter over white-peach; the last day is 6 Feb.", On(30));

        static string On(int day) =>
            Answer(Request(Bare() with { UsesShelter = true }, Copper) with
            {
                AsOf = new DateTimeOffset(2026, 11, day, 6, 0, 0, TimeSpan.Zero),
                Forecast = null,
            });
    }

    [Fact]
    public void Without_hours_to_name_it_says_why()
    {
        Assert.Equal(
            "Spray copper on white-peach; without a fresh forecast no hours can be named; the last day is 6 Feb.",
            Answer(Request(Bare(), Copper) with { Forecast = null }));
        Assert.Equal(
            "No hours fit for copper on white-peach are in sight until Sat 30 Jan; "
                + "plan again with the next forecast; the last day is 6 Feb.",
            Answer(Request(Bare(), Copper) with { Forecast = Fair((_, fair) => fair with { WindMs = 9 }) }));
        Assert.StartsWith(
            "Nothing may go on white-peach now: apricot is hurt by sulfur",
            Answer(Request(Bare(0, TreeKind.Apricot), LimeSulfur)),
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_spray_that_is_done_is_said_to_be() =>
        Assert.Equal(
            "Nothing to spray on white-peach: this season's spray is done.",
            Answer(Request(Bare() with { Cover = Cover.Fresh }, Copper, Spray(1, "2027-01-10"))));

    [Fact]
    public void Oil_beside_it_takes_nothing_from_a_spray_that_is_done_and_is_none_by_itself()
    {
        Assert.Equal(
            "Nothing to spray on white-peach: this season's spray is done.",
            Answer(Request(Bare() with { Cover = Cover.Fresh }, Copper, Spray(1, "2027-01-10"), Spray(2, "2027-01-12", "oil", 1))));
        Assert.DoesNotContain("is done", Answer(Request(Bare(), Copper, Spray(1, "2027-01-10", "oil", 1))), StringComparison.Ordinal);
    }
}
