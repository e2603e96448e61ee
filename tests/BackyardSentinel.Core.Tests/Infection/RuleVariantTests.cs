using BackyardSentinel.Alerting;
using BackyardSentinel.Events;

namespace BackyardSentinel.Tests.Infection;

/// <summary>Variants of the rules judge beside the three, under names and limits of their own, from their days on.</summary>
public class RuleVariantTests
{
    private static readonly DateOnly Tuesday = new(2027, 2, 2);

    [Fact]
    public void A_variant_judges_by_its_limits_beside_the_rule_as_published()
    {
        var seen = new Diary().Wet(10, rainMm: 4).Dry(6).Replayed(With(Our(hours: 9)));

        Assert.Empty(seen.Opened());
        var window = Assert.Single(Closed(seen));
        Assert.Equal((Some.At(9), Some.At(10), 10.0), (window.OpenedAt, window.ClosedAt!.Value, window.WetHours!.Value));
        Assert.Contains("garden/tree/our-wall-opened/20270201T090000Z", seen.Events.Select(one => one.Key));
    }

    [Fact]
    public void It_can_give_the_level()
    {
        var site = With(Our(hours: 9)) with { LevelRule = "our-wall" };
        var seen = new Diary().Wet(10, rainMm: 4).Live(site);

        Assert.Equal((Level.Possible, Level.Building), (seen.Risk.Level, seen.Risk.Opinions["wet-hours"]));
        Assert.Equal(["wet-hours", "rain-day", "two-day", "our-wall"], seen.Risk.Opinions.Keys);
        var risen = LevelRisen.Of(seen.Changes[^1], seen.Risk, new SymptomDays(), site);
        Assert.Equal(("our-wall", RuleName.WetHours), (risen.Rule, risen.VariantOf));
    }

    /// <summary>Two wet spells of ten hours, one on either side of the midnight from which nine hours will do.</summary>
    [Fact]
    public void Limits_hold_from_local_midnight_of_their_day_and_what_was_before_stands()
    {
        var diary = new Diary().Dry(2).Wet(10, rainMm: 4).Dry(14).Wet(10, rainMm: 4).Dry(6);
        Assert.Equal([Some.At(35)], Opened(diary.Replayed(With(Our(hours: 9, from: Tuesday)))));
        Assert.Equal([Some.At(11), Some.At(35)], Opened(diary.Replayed(With(Our(hours: 9)))));
        Assert.Empty(Opened(diary.Replayed(With(Our(hours: 9, from: Tuesday.AddDays(1))))));
    }

    [Fact]
    public void Midnight_is_the_sites_own()
    {
        // In Auckland it is 13 hours later: the day begins at 11:00 UTC the day before.
        var auckland = With(Our(hours: 9, from: Tuesday)) with { Zone = TimeZoneInfo.FindSystemTimeZoneById("Pacific/Auckland") };
        var diary = new Diary().Wet(12, rainMm: 4).Dry(6);
        Assert.Equal([Some.At(11) + TimeSpan.FromMinutes(10)], Opened(diary.Replayed(auckland)));
    }

    [Fact]
    public void A_window_that_is_open_at_midnight_goes_on_by_the_limits_by_which_it_opened()
    {
        // From midnight on 40 wet hours are asked: the open window keeps its level and runs to its spell's end.
        var diary = new Diary().Wet(36, tempC: 7, rainMm: 4).Dry(6).Wet(30, tempC: 7, rainMm: 4).Dry(6);
        var seen = diary.Replayed(With(Our(hours: 40, from: Tuesday)));

        var window = Assert.Single(Closed(seen));
        Assert.Equal(seen.Closed()[0] with { Rule = "our-wall" }, window);
        Assert.Equal(2, seen.Closed().Count);
    }

    [Fact]
    public void A_spell_that_runs_at_midnight_is_judged_from_then_on_with_all_that_it_has()
    {
        var diary = new Diary().Dry(14).Wet(11, rainMm: 4).Dry(6);
        Assert.Equal([Some.At(24) + TimeSpan.FromMinutes(10)], Opened(diary.Replayed(With(Our(hours: 9, from: Tuesday)))));
    }

    [Fact]
    public void A_spell_that_has_dried_by_midnight_is_not_opened_by_limits_that_came_after_it()
    {
        var site = With(Our(hours: 9, from: Tuesday));
        Assert.Empty(Opened(new Diary().Dry(12).Wet(10, rainMm: 4).Dry(6).Replayed(site)));
        // What was wet until the very midnight was before it.
        Assert.Empty(Opened(new Diary().Dry(14).Wet(10, rainMm: 4).Dry(6).Replayed(site)));
        // Wet again within the gap, it is the same spell with all that it has.
        Assert.Equal(
            [Some.At(25) + TimeSpan.FromMinutes(10)],
            Opened(new Diary().Dry(12).Wet(10, rainMm: 4).Dry(3).Wet(1).Dry(6).Replayed(site)));
    }

    [Fact]
    public void Each_change_of_limits_counts_from_its_own_day()
    {
        var variant = new RuleVariant(
            "our-wall",
            RuleName.WetHours,
            [new(Tuesday, new WetHoursLimits(minWetHours: 9)), new(Tuesday.AddDays(1), new WetHoursLimits(minWetHours: 4))]);
        var diary = new Diary();
        for (var day = 0; day < 3; day++)
            diary.Wet(10, rainMm: 4).Dry(14);

        Assert.Equal([Some.At(33), Some.At(52)], Opened(diary.Replayed(With(variant))));
        var site = With(variant);
        Assert.Equal(
            [12.5, 9, 4, 4],
            Enumerable.Range(0, 4).Select(day => ((WetHoursLimits)site.LimitsOf("our-wall", Tuesday.AddDays(day - 1))).MinWetHours));
    }

    /// <summary>Rain-day and two-day change at midnight, too, each with its own sums.</summary>
    [Fact]
    public void Every_rule_has_variants()
    {
        var site = Some.Garden() with
        {
            Variants =
            [
                new("a-little-rain", RuleName.RainDay, [new(Tuesday, new RainDayLimits(3))]),
                new("one-day", RuleName.TwoDay, [new(Tuesday, new TwoDayLimits(likelyHours: 8))]),
            ],
        };
        var seen = new Diary().Wet(10, rainMm: 4).Dry(14).Wet(10, rainMm: 4).Dry(20).Replayed(site);
        Assert.Equal(
            [("a-little-rain", Some.At(24) + TimeSpan.FromMinutes(10), Some.At(48)), ("one-day", Some.At(32), Some.At(34))],
            seen.Events.OfType<InfectionWindowClosed>().Select(one => (one.Window.Rule, one.Window.OpenedAt, one.Window.ClosedAt!.Value))
                .OrderBy(one => one.Rule, StringComparer.Ordinal));
    }

    [Fact]
    public void A_look_ahead_over_the_midnight_goes_by_the_new_limits()
    {
        var site = With(Our(hours: 9, from: Tuesday)) with { LevelRule = "our-wall" };
        var watch = new Diary().Dry(20).Live(site).Watch;
        var hours = Enumerable.Range(0, 12).Select(i => new ForecastHour(Some.At(20 + i), 10, 95, i == 0 ? 4 : 0.2, null)).ToList();
        var ahead = watch.LookAhead(watch.Plantings[0], hours);
        Assert.Equal(Some.At(29), ahead!.Value.OpensAt);
    }

    private static Site With(RuleVariant variant) => Some.Garden() with { Variants = [variant] };

    private static RuleVariant Our(double hours, DateOnly? from = null) =>
        new("our-wall", RuleName.WetHours, [new(from ?? DateOnly.MinValue, new WetHoursLimits(minWetHours: hours))]);

    private static List<InfectionWindow> Closed(Seen seen) =>
        [.. seen.Events.OfType<InfectionWindowClosed>().Select(one => one.Window).Where(one => one.Rule == "our-wall")];

    private static List<DateTimeOffset> Opened(Seen seen) => [.. Closed(seen).Select(window => window.OpenedAt)];
}
