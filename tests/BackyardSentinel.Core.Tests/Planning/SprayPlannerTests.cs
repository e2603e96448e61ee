using BackyardSentinel.Spraying;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

public class SprayPlannerTests
{
    private static SprayPlan Plan(PlanPlanting planting, SprayProduct? product = null, params SprayEntry[] sprays) =>
        SprayPlanner.Plan(Request(planting, product ?? Copper, sprays));

    private static string Reasons(SprayPlan plan) => string.Join('\n', plan.Refused.Select(refused => refused.Reason));

    [Fact]
    public void A_bare_tree_in_fair_weather_is_planned_before_the_early_date()
    {
        var plan = Plan(Bare());

        var due = Assert.Single(Assert.Single(plan.Plantings).Due);
        Assert.Equal((DueTask.LateWinter, new DateOnly(2027, 2, 6)), (due.What, due.By));
        Assert.Contains("the one spray not to miss", due.Why.Text, StringComparison.Ordinal);
        Assert.Empty(plan.Refused);
        var slot = Assert.Single(plan.Slots);
        Assert.Equal((Peach, "copper", 1, Now), (slot.Planting, slot.Product, slot.Rank, slot.Start));
        Assert.Contains("before 6 Feb, when buds may begin to swell", slot.Reasons);
        Assert.True(slot.End <= plan.Until);
    }

    // University of California treatment timing for peach (after Adaskaveg and others 2022): dormant 3, 20–40 % bloom 1,
    // 80–100 % bloom 0, after bloom 0, of 3.
    [Theory]
    [InlineData(0, 3)]
    [InlineData(50, 3)]
    [InlineData(65, 0)]
    [InlineData(67, 0)]
    [InlineData(69, 0)]
    [InlineData(72, 0)]
    [InlineData(31, 0)]
    public void Nothing_is_due_and_copper_is_refused_where_it_does_nothing(int stage, int effectiveness)
    {
        var plan = Plan(Bare(stage));

        Assert.Equal(effectiveness > 0, plan.Plantings[0].Due.Count > 0);
        Assert.Equal(effectiveness > 0, plan.Slots.Count > 0);
        Assert.Equal(effectiveness == 0, Reasons(plan).Contains("copper burns them", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(1, true)]
    [InlineData(51, true)]
    [InlineData(3, false)]
    [InlineData(9, false)]
    public void While_buds_swell_copper_is_warned_of_and_only_the_first_swelling_is_still_due(int stage, bool due)
    {
        var plan = Plan(Bare(stage));

        Assert.Equal(due, plan.Plantings[0].Due.Any(spray => spray.What == DueTask.LateWinter && spray.By == Today));
        Assert.Empty(plan.Refused);
        Assert.All(
            plan.Slots,
            slot => Assert.Contains(slot.Reasons, reason => reason.StartsWith("buds swell: copper may hurt", StringComparison.Ordinal)));
        Assert.NotEmpty(plan.Slots);
    }

    // University of California apricot tables: do not use sulfur on apricot at any time.
    [Theory]
    [InlineData(ActiveIngredient.LimeSulfur)]
    [InlineData(ActiveIngredient.Sulfur)]
    public void Sulfur_on_apricot_is_refused_at_every_stage(ActiveIngredient sulfur)
    {
        foreach (var stage in new int?[] { null, 0, 1, 9, 31, 65, 72, 93, 97 })
        {
            var plan = Plan(Bare(stage, TreeKind.Apricot), LimeSulfur with { Active = sulfur });
            Assert.Contains(
                plan.Refused,
                refused =>
                    refused.Reason.Text.StartsWith("apricot", StringComparison.Ordinal) && refused.From == plan.AsOf
                        && refused.To == plan.Until);
            Assert.Empty(plan.Slots);
        }

        Assert.NotEmpty(Plan(Bare(0), LimeSulfur with { Active = sulfur }).Slots);
    }

    [Fact]
    public void Lime_sulfur_is_refused_once_buds_swell_or_may_swell_or_nobody_knows()
    {
        Assert.Empty(Plan(Bare(0), LimeSulfur).Refused);
        foreach (var stage in new int?[] { 1, 51, 3, 9, 65, null })
            Assert.Empty(Plan(Bare(stage), LimeSulfur).Slots);

        var early = Swell with { Early = new DateOnly(2027, 1, 25) };
        var plan = SprayPlanner.Plan(
            Request(Bare() with { BudSwell = early }, LimeSulfur) with
            {
                Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"),
            });
        // 25 January begins at 23:00 UTC in Ljubljana.
        var from = new DateTimeOffset(2027, 1, 24, 23, 0, 0, TimeSpan.Zero);
        Assert.Equal(from, Assert.Single(plan.Refused).From);
        Assert.Equal(from, Assert.Single(plan.Slots).End);
    }

    // 30 days: the longest of garden texts.
    [Theory]
    [InlineData("oil", "lime-sulfur", "2026-12-22", true)]
    [InlineData("lime-sulfur", "oil", "2026-12-22", true)]
    [InlineData("oil", "lime-sulfur", "2026-12-11", false)]
    [InlineData("lime-sulfur", "oil", "2026-12-11", false)]
    public void Oil_and_sulfur_are_kept_thirty_days_apart_both_ways(string sprayed, string planned, string on, bool refused)
    {
        var plan = Plan(Bare(), planned == "oil" ? Oil : LimeSulfur, Spray(1, on, sprayed));

        Assert.Equal(refused, plan.Refused.Count == 1);
        if (refused)
        {
            Assert.Equal(new DateTimeOffset(2027, 1, 21, 0, 0, 0, TimeSpan.Zero), plan.Refused[0].To);
            Assert.All(plan.Slots, slot => Assert.True(slot.Start >= plan.Refused[0].To));
        }
    }

    [Fact]
    public void A_label_sets_the_days_between_oil_and_sulfur()
    {
        var spray = Spray(1, "2027-01-05", "lime-sulfur");
        Assert.Empty(Plan(Bare(), Oil with { Label = new() { DaysFromOil = 14 } }, spray).Refused);
        Assert.Contains("60 days", Reasons(Plan(Bare(), Oil with { Label = new() { DaysFromOil = 60 } }, spray)), StringComparison.Ordinal);
        // Where it asks for none, the same day will do; the other label says nothing.
        var today = Spray(1, "2027-01-20", "lime-sulfur");
        Assert.Empty(Plan(Bare(), Oil with { Label = new() { DaysFromOil = 0 } }, today).Refused);
        Assert.Single(Plan(Bare(), Oil with { Label = new() { DaysFromOil = 1 } }, today).Refused);
    }

    [Theory]
    [InlineData(ActiveIngredient.Captan)]
    [InlineData(ActiveIngredient.Chlorothalonil)]
    public void Captan_and_chlorothalonil_are_kept_apart_from_oil_in_either_order(ActiveIngredient active)
    {
        // Captan labels: not with, nor shortly before or after oil. 14 days are from memory; a label's figure replaces them.
        var product = Copper with { Id = "other", Active = active, CopperPct = null };
        Assert.Contains("14 days between", Refused(product, Oil, "2027-01-07"), StringComparison.Ordinal);
        Assert.Contains("14 days between", Refused(Oil, product, "2027-01-07"), StringComparison.Ordinal);
        Assert.Equal("", Refused(Oil, product, "2027-01-06"));
        Assert.Equal("", Refused(product, Copper, "2027-01-19"));

        string Refused(SprayProduct planned, SprayProduct sprayed, string on) =>
            Reasons(SprayPlanner.Plan(Request(Bare(), planned) with { Ledger = Ledger([planned, sprayed], Spray(1, on, sprayed.Id)) }));
    }

    [Fact]
    public void Of_two_labels_that_speak_the_stricter_one_holds()
    {
        var lime = LimeSulfur with { Label = new() { DaysFromOil = 28 } };
        var oil = Oil with { Label = new() { DaysFromOil = 14 } };
        var plan = SprayPlanner.Plan(Request(Bare(), oil) with { Ledger = Ledger([lime, oil], Spray(1, "2027-01-01", "lime-sulfur")) });

        Assert.Contains("28 days", Assert.Single(plan.Refused).Reason.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("applications", "all 1 applications")]
    [InlineData("copper", "are used up")]
    [InlineData("next", "one spray brings 10 kg/ha of copper")]
    [InlineData("kind", "excludes peach")]
    [InlineData("first", "before the label's first stage 01")]
    [InlineData("last", "after the label's last stage 97")]
    [InlineData("wrong", "first stage 09 comes after")]
    public void What_the_label_forbids_is_refused_with_its_reason(string which, string words)
    {
        LabelLimit label = which switch
        {
            "applications" => new() { MaxApplicationsPerSeason = 1 },
            "copper" => new() { MaxCopperKgPerHaPerSeason = 10 },
            "next" => new() { MaxCopperKgPerHaPerSeason = 15 },
            "kind" => new() { ExcludedKinds = [TreeKind.Peach] },
            "first" => new() { FirstStage = 1 },
            "last" => new() { FirstStage = 93, LastStage = 97 },
            _ => new() { FirstStage = 9, LastStage = 1 },
        };
        var plan = Plan(Bare() with { SprayVolumeL = 5 }, Copper with { Label = label }, Spray(1, "2026-12-01"));

        Assert.Contains(words, Reasons(plan), StringComparison.Ordinal);
        Assert.Empty(plan.Slots);
    }

    [Fact]
    public void Too_soon_after_the_last_spray_is_refused_until_the_day()
    {
        var plan = Plan(Bare(), Copper with { Label = new() { MinDaysBetween = 14 } }, Spray(1, "2027-01-10"));

        var refused = Assert.Single(plan.Refused);
        Assert.Equal(new DateTimeOffset(2027, 1, 24, 0, 0, 0, TimeSpan.Zero), refused.To);
        Assert.Equal(refused.To, Assert.Single(plan.Slots).Start);
    }

    [Fact]
    public void A_leaf_fall_spray_is_due_after_curl_or_in_a_wet_winter()
    {
        var autumn = new DateTimeOffset(2026, 11, 20, 6, 0, 0, TimeSpan.Zero);
        var tree = Bare(97) with { BudSwell = null, LeafFall = new LeafFallEntry(1, "south-wall", Peach, new DateOnly(2026, 11, 15), 90) };
        SprayPlan Autumn(PlanPlanting planting, double? rainMm, params SprayEntry[] sprays) =>
            SprayPlanner.Plan(Request(planting, Copper, sprays) with { AsOf = autumn, Forecast = null, RainLast60DaysMm = rainMm });
        DueTask[] Due(SprayPlan plan) => [.. plan.Plantings[0].Due.Select(spray => spray.What)];

        Assert.Equal([DueTask.LeafFall, DueTask.LateWinter], Due(Autumn(tree with { CurlLastSpring = true }, 20)));
        Assert.Equal([DueTask.LeafFall, DueTask.LateWinter], Due(Autumn(tree, 200)));
        Assert.Equal([DueTask.LateWinter], Due(Autumn(tree, 20)));
        Assert.Equal([DueTask.LateWinter], Due(Autumn(tree, 200, Spray(1, "2026-11-18"))));
        Assert.Equal(new DateOnly(2026, 12, 15), Autumn(tree, 200).Plantings[0].Due[0].By);
        Assert.Contains(
            "guessed from the calendar",
            Autumn(tree with { LeafFall = null }, 200).Plantings[0].Due[0].Why.Text,
            StringComparison.Ordinal);
        Assert.Contains(
            Autumn(tree with { CurlLastSpring = null }, null).Notes,
            note => note.Text.Contains("neither last spring's curl", StringComparison.Ordinal));
    }

    [Fact]
    public void When_the_late_winter_spray_has_its_time_the_leaf_fall_spray_has_lost_it() =>
        Assert.Equal(DueTask.LateWinter, Assert.Single(Plan(Bare() with { CurlLastSpring = true }).Plantings[0].Due).What);

    [Theory]
    [InlineData(2026, 9, 15, false)]
    [InlineData(2026, 12, 15, true)]
    [InlineData(2027, 3, 1, true)]
    [InlineData(2027, 6, 1, false)]
    public void A_tree_of_unknown_stage_is_taken_for_bare_only_in_the_cold_half_of_the_year(int year, int month, int day, bool due)
    {
        var asOf = new DateTimeOffset(year, month, day, 6, 0, 0, TimeSpan.Zero);
        var plan = SprayPlanner.Plan(Request(Bare(null) with { BudSwell = null }, Copper) with { AsOf = asOf, Forecast = null });

        Assert.Equal(due, plan.Plantings[0].Due.Count == 1);
    }

    [Fact]
    public void After_the_late_winter_spray_only_rain_makes_a_repeat_due()
    {
        var done = Spray(1, "2027-01-05");
        Assert.Empty(Plan(Bare() with { Cover = Cover.Fresh }, null, done).Plantings[0].Due);
        Assert.Equal(
            DueTask.LookAtCover,
            Assert.Single(Plan(Bare() with { Cover = Cover.Recheck, CoverRainMm = 30 }, null, done).Plantings[0].Due).What);
        var repeat = Assert.Single(Plan(Bare() with { Cover = Cover.Spent, CoverRainMm = 55 }, null, done).Plantings[0].Due);
        Assert.StartsWith("55 mm of rain", repeat.Why.Text, StringComparison.Ordinal);
        // Oil is no spray against curl.
        Assert.Equal(DueTask.LateWinter, Assert.Single(Plan(Bare(), null, Spray(1, "2027-01-05", "oil")).Plantings[0].Due).What);
    }

    [Fact]
    public void A_safe_date_that_has_passed_is_said_to_have()
    {
        var due = Assert.Single(Plan(Bare() with { BudSwell = Swell with { Early = new DateOnly(2027, 1, 18) } }).Plantings[0].Due);

        Assert.Equal(Today, due.By);
        Assert.Contains("18 Jan has passed", due.Why.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_forecast_or_with_a_stale_one_there_are_no_slots_but_all_the_rest()
    {
        var full = Plan(Bare(), Copper with { Label = new() { MinDaysBetween = 14 } }, Spray(1, "2027-01-10"));
        var request = Request(Bare(), Copper with { Label = new() { MinDaysBetween = 14 } }, Spray(1, "2027-01-10"));
        var none = SprayPlanner.Plan(request with { Forecast = null });
        var stale = SprayPlanner.Plan(request with { Forecast = Fair() with { Issued = Now.AddHours(-13) } });

        foreach (var (plan, words) in new[] { (none, "There is no forecast"), (stale, "too long ago") })
        {
            Assert.Empty(plan.Slots);
            Assert.Null(plan.Forecast);
            Assert.Equal(full.Refused, plan.Refused);
            Assert.Equal(full.Plantings[0].Due, plan.Plantings[0].Due);
            Assert.Equal(full.Plantings[0].Copper, plan.Plantings[0].Copper);
            Assert.Contains(plan.Notes, note => note.Text.Contains(words, StringComparison.Ordinal));
        }
    }

    [Fact]
    public void What_is_not_known_is_said()
    {
        var plan = SprayPlanner.Plan(
            Request(Bare(null) with { CurlLastSpring = null }, SprayTemplates.All.Single(one => one.Id == "fixed-copper")) with
            {
                ObservedRain = null,
                SunElevationDeg = null,
            });

        foreach (
            var words in new[]
            {
                "label is the law",
                "no coordinates",
                "No measured rain",
                "generic figures",
                "neither last spring's curl",
                "the bud stage is not known",
            })
            Assert.Contains(plan.Notes, note => note.Text.Contains(words, StringComparison.Ordinal));
        Assert.All(plan.Slots, slot => Assert.Contains("the bud stage is not known: look at the buds first", slot.Reasons));
        Assert.StartsWith("The garden file has no products", NotesOn([]), StringComparison.Ordinal);
        Assert.DoesNotContain("no products", NotesOn([Copper]), StringComparison.Ordinal);

        static string NotesOn(SprayProduct[] products) => string.Join(
            '\n',
            SprayPlanner.Plan(Request(Bare(), Copper) with { Products = products, Forecast = null })
                .Notes.Select(note => note.Text)
                .Where(note => note.Contains("products", StringComparison.Ordinal)));
    }

    [Fact]
    public void Of_two_slots_the_fairer_and_timelier_one_ranks_first()
    {
        // Rain on day 2 parts the days; before it a gusty wind, after it fair weather.
        var forecast = Fair((i, hour) => i switch
        {
            < 40 => hour with { WindMs = 4.2 },
            < 60 => hour with { RainMm = 1 },
            _ => hour,
        });
        var request = Request(Bare(), Copper) with { Forecast = forecast };
        var plan = SprayPlanner.Plan(request);

        Assert.Equal([1, 2], plan.Slots.Select(slot => slot.Rank));
        Assert.True(plan.Slots[0].Start > plan.Slots[1].Start);
        Assert.Contains(plan.Slots[1].Reasons, reason => reason.StartsWith("wind 4.2 m/s: mind the drift", StringComparison.Ordinal));

        // When the buds may swell before the fair days, the gusty hours come first.
        var soon = SprayPlanner.Plan(request with { Plantings = [Bare() with { BudSwell = Swell with { Early = Today.AddDays(2) } }] });
        Assert.True(soon.Slots[0].Start < soon.Slots[1].Start);
        Assert.StartsWith("only after 22 Jan", soon.Slots[1].Reasons[3], StringComparison.Ordinal);
    }

    [Fact]
    public void A_single_fit_hour_is_no_slot()
    {
        // Wind too strong but for one hour, then for two.
        var plan = SprayPlanner.Plan(Request(Bare(), Copper) with
        {
            Forecast = Fair((i, hour) => i is 30 or 50 or 51 ? hour : hour with { WindMs = 8 }),
        });

        var slot = Assert.Single(plan.Slots);
        Assert.Equal((Now.AddHours(50), Now.AddHours(52)), (slot.Start, slot.End));
    }
}
