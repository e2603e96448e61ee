namespace BackyardSentinel.Tests.Infection;

// The limits: Rossi et al. 2006 (3 mm, 12.5 h, below 16 °C) and Giosuè et al. 2000 (more than 10 mm, above 5 °C), both
// abstracts; two mild, wet days are common practice, no source.
public class RuleConditionTests
{
    [Fact]
    public void Before_any_rain_the_wet_hours_lack_everything_and_there_is_no_mean_to_speak_of()
    {
        var conditions = new WetHoursRule("tree").Explain(null, UnitSystem.Metric);

        Assert.Equal([(0.0, 3.0), (0.0, 12.5), (null, null)], conditions.Select(one => (one.Value, one.Lack)));
        Assert.DoesNotContain(conditions, one => one.IsMet);
    }

    // 1 mm is 0.0394 in; a lack is rounded up, to tenths of a millimetre or hundredths of an inch.
    [Theory]
    [InlineData(1.0, "1 mm", "0.04 in")]
    [InlineData(1.01, "1.1 mm", "0.04 in")]
    [InlineData(0.001, "0.1 mm", "0.01 in")]
    [InlineData(2.54, "2.6 mm", "0.1 in")]
    public void A_lack_of_rain_is_told_in_the_gardens_units_and_never_too_small(double lackMm, string metric, string us)
    {
        var condition = new RuleCondition("rain", 0, "mm", "", false) { Lack = lackMm };

        Assert.Equal((metric, us), (condition.LackIn(UnitSystem.Metric), condition.LackIn(UnitSystem.Us)));
    }

    [Fact]
    public void A_spell_on_its_way_says_what_it_still_lacks()
    {
        var conditions = new WetHoursRule("tree").Explain(Spell(rainMm: 1, wetHours: 8, meanC: 9), UnitSystem.Metric);

        Assert.Equal([(1.0, 2.0), (8.0, 4.5), (9.0, null)], conditions.Select(one => (one.Value, one.Lack)));
        Assert.Equal([false, false, true], conditions.Select(one => one.IsMet));
    }

    [Theory]
    [InlineData(3, 12.5, 15.9, true)]
    [InlineData(2.9, 12.4, 16, false)]
    public void The_wet_hours_are_met_at_their_published_limits(double rainMm, double wetHours, double meanC, bool met)
    {
        var conditions = new WetHoursRule("tree").Explain(Spell(rainMm, wetHours, meanC), UnitSystem.Metric);

        Assert.All(conditions, one => Assert.Equal(met, one.IsMet));
        Assert.All(conditions, one => Assert.True(!met || one.Lack is null));
    }

    [Fact]
    public void Without_a_gauge_the_rain_is_met_and_has_no_figure()
    {
        var rain = new WetHoursRule("tree").Explain(Spell(0, 13, 9) with { NoRainGauge = true }, UnitSystem.Metric)[0];

        Assert.Equal((null, true, "nothing, as no gauge tells of it"), (rain.Value, rain.IsMet, rain.Asked));
        Assert.Equal("at least 3 mm", new WetHoursRule("tree").Explain(Spell(0, 13, 9), UnitSystem.Metric)[0].Asked);
    }

    [Theory]
    [InlineData(10.0, 5.0, false, 0.0)]
    [InlineData(9.6, 5.0, false, 0.4)]
    [InlineData(10.1, 5.1, true, null)]
    public void A_rain_day_wants_more_than_ten_millimetres_and_more_than_five_degrees(double rainMm, double maxC, bool met, double? lackMm)
    {
        var rule = new RainDayRule("tree", TimeZoneInfo.Utc, hasRainGauge: true);
        rule.Observe(Input(0, maxC, rainMm));
        rule.Observe(Input(1, maxC - 3, 0));

        var conditions = rule.Explain(null, UnitSystem.Metric);
        Assert.Equal([rainMm, maxC], conditions.Select(one => one.Value));
        Assert.All(conditions, one => Assert.Equal(met, one.IsMet));
        Assert.Equal(lackMm, conditions[0].Lack is { } lack ? Math.Round(lack, 6) : null);
        Assert.Null(conditions[1].Lack);
    }

    [Fact]
    public void A_rain_day_without_temperature_or_without_a_gauge_says_so()
    {
        var rule = new RainDayRule("tree", TimeZoneInfo.Utc, hasRainGauge: true);
        rule.Observe(Input(0, null, 20));
        Assert.Equal((null, false), (rule.Explain(null, UnitSystem.Metric)[1].Value, rule.Explain(null, UnitSystem.Metric)[1].IsMet));

        var ungauged = Assert.Single(new RainDayRule("tree", TimeZoneInfo.Utc, hasRainGauge: false).Explain(null, UnitSystem.Metric));
        Assert.Equal((null, false), (ungauged.Value, ungauged.IsMet));
        Assert.EndsWith("there is no rain gauge", ungauged.Asked, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(18, false, 6.0)]
    [InlineData(24, true, null)]
    public void Two_mild_wet_days_count_their_hours(int hours, bool met, double? lack)
    {
        var rule = new TwoDayRule("tree");
        for (var number = 0; number < hours * 6; number++)
            rule.Observe(Input(number, 10, 0));

        var condition = Assert.Single(rule.Explain(null, UnitSystem.Metric));
        Assert.Equal((hours, met, lack), (condition.Value, condition.IsMet, condition.Lack));
    }

    private static WetSpell Spell(double rainMm, double wetHours, double meanC) =>
        new(Some.Midnight, Some.At(wetHours), wetHours, rainMm, meanC, meanC, meanC, false, false);

    private static RuleInput Input(int number, double? tempC, double rainMm) =>
        new(Some.Interval(number, tempC, rainMm), new Wetness(WetnessState.Wet, 1), null, null, 1);
}
