namespace BackyardSentinel.Tests.Infection;

public class RuleLimitsTests
{
    // Rossi et al. 2006 and Giosuè et al. 2000 (abstracts); two-day is common practice, no source.
    [Fact]
    public void Unless_told_otherwise_the_published_limits_hold()
    {
        Assert.Equal(new WetHoursLimits(3, 12.5, 16, 48, 8), Site.PublishedRules[0]);
        Assert.Equal(new RainDayLimits(10, 5), Site.PublishedRules[1]);
        Assert.Equal(new TwoDayLimits(8, 16, 90, 24, 48, 1), Site.PublishedRules[2]);
        Assert.Equal(new WetSpellLimits(4, false, 90, WetnessEstimator.HumidityThreshold), new Site { Id = "yard" }.Spell);
        Assert.Equal(Enum.GetValues<RuleName>(), Site.PublishedRules.Select(limits => limits.Rule));
    }

    private static readonly Func<object>[] OutOfRange =
    [
        () => new WetHoursLimits(minRainMm: -0.1),
        () => new WetHoursLimits(minRainMm: double.NaN),
        () => new WetHoursLimits(minWetHours: 0),
        () => new WetHoursLimits(minWetHours: 48),
        () => new WetHoursLimits(maxMeanTempC: 8),
        () => new WetHoursLimits(maxMeanTempC: 41),
        () => new RainDayLimits(rainAboveMm: 201),
        () => new RainDayLimits(maxTempAboveC: -11),
        () => new TwoDayLimits(minTempC: 17),
        () => new TwoDayLimits(minHumidityPct: 101),
        () => new TwoDayLimits(likelyHours: 49),
        () => new TwoDayLimits(longestBreakHours: 25),
        () => new WetSpellLimits(longestGapHours: 49),
        () => new WetSpellLimits(wetHumidityPct: 49),
    ];

    [Fact]
    public void A_limit_that_cannot_be_meant_is_refused() =>
        Assert.All(OutOfRange, build => Assert.Throws<ArgumentOutOfRangeException>(build));

    [Fact]
    public void A_rule_judges_and_speaks_by_the_limits_that_hold()
    {
        var site = Some.Garden() with
        {
            Rules =
                [
                    new WetHoursLimits(minRainMm: 1, minWetHours: 10, maxMeanTempC: 14),
                    new RainDayLimits(5, 2),
                    new TwoDayLimits(likelyHours: 12),
                ],
            Spell = new WetSpellLimits(longestGapHours: 6.5),
        };
        var seen = new Diary().Wet(6, rainMm: 1).Dry(6).Wet(6.5).Live(site);

        Assert.Equal(Some.At(16), Assert.Single(seen.Opened()).OpenedAt);
        Assert.Contains(
            "Drying for more than 6.5 h closes the window: past 2027-02-02 01:00 if nothing is wet until then.",
            seen.Watch.Plantings[0].Rules[0].Change(seen.Risk, site));
        Assert.Equal(
            ["at least 1 mm", "at least 10 h", "below 14 °C", "more than 5 mm", "above 2 °C", "at least 12 h"],
            seen.Watch.Plantings[0].Rules.SelectMany(rule => rule.Explain(seen.Risk.Spell, UnitSystem.Metric)).Select(one => one.Asked));
    }

    [Theory]
    [InlineData(true, false, "Rain")]
    [InlineData(true, true, "Any wetness")]
    [InlineData(false, false, "Any wetness")]
    [InlineData(false, true, "Any wetness")]
    public void While_it_is_dry_the_rule_says_what_starts_a_spell(bool hasRainGauge, bool startsOnAnyWetness, string what)
    {
        var site = Some.Garden() with
        {
            HasRainGauge = hasRainGauge,
            Spell = new WetSpellLimits(startsOnAnyWetness: startsOnAnyWetness),
        };
        var seen = new Diary().Dry(4).Live(site);

        Assert.Equal([$"{what} starts a wet spell, and the level builds."], seen.Watch.Plantings[0].Rules[0].Change(seen.Risk, site));
    }

    [Fact]
    public void A_rain_day_and_two_days_go_by_their_own_limits_too()
    {
        var site = Some.Garden() with
        {
            Rules = [new RainDayLimits(5, 2), new TwoDayLimits(2, 10, 80, 12, 18, 3)],
            LevelRule = RuleName.RainDay.Word(),
        };
        var seen = new Diary().Rows(7, 4, 82, rainMm: 5.1).Rows(3, 1, 95).Rows(12, 4, 82).Dry(4).Replayed(site);

        Assert.Equal(Some.Clock(0, 10), Assert.Single(seen.Opened(RuleName.RainDay)).OpenedAt);
        var mild = Assert.Single(seen.Closed(RuleName.TwoDay));
        Assert.Equal((Some.At(15), Some.At(22), Level.Severe), (mild.OpenedAt, mild.ClosedAt, mild.Level));
        Assert.Empty(seen.Opened(RuleName.WetHours));
    }

    [Fact]
    public void A_spell_is_judged_wet_by_the_sites_own_humidity_and_may_start_without_rain()
    {
        var site = Some.Garden() with { Spell = new WetSpellLimits(startsOnAnyWetness: true, wetHumidityPct: 80) };
        var diary = new Diary().Rows(14, 10, 82).Dry(5);

        Assert.Equal((Some.Midnight, 14), (Assert.Single(diary.Replayed(site).Spells).Start, diary.Replayed(site).Spells[0].WetHours));
        Assert.Empty(diary.Replayed().Spells);
    }

    // The two logistic curves run through 0.05 and 0.95 at the anchors that are set; half way between lies 0.5.
    [Fact]
    public void The_assumed_dose_runs_through_the_anchors_that_are_set()
    {
        var rule = new WetHoursRule("tree", new WetHoursLimits(minWetHours: 10, maxMeanTempC: 20, fullWetHours: 30, fullTempC: 10));

        Assert.Equal([0, 0.05, 0.5, 0.95], new[] { 9.9, 10, 20, 30 }.Select(hours => Math.Round(rule.WetnessResponse(hours), 3)));
        Assert.Equal([0, 0.5, 0.95], new[] { 20.0, 15, 10 }.Select(celsius => Math.Round(rule.TemperatureResponse(celsius), 3)));
    }

    [Fact]
    public void A_rule_that_asks_for_no_rain_is_half_built_by_half_its_wet_hours()
    {
        var rule = new WetHoursRule("tree", new WetHoursLimits(minRainMm: 0));
        rule.Observe(new RuleInput(
            Some.Interval(0),
            new Wetness(WetnessState.Wet, 1),
            new WetSpell(Some.Midnight, Some.At(6.25), 6.25, 0, 9, 9, 9, false, false),
            null,
            1));

        Assert.Equal((Level.Building, 0.5), (rule.Level, rule.FractionReached));
    }
}
