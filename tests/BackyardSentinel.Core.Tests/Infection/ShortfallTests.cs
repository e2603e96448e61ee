using BackyardSentinel.Events;

namespace BackyardSentinel.Tests.Infection;

/// <summary>Each rule says of a wet spell, once it is over, why it opened nothing; by its own conditions and no other's.</summary>
public class ShortfallTests
{
    [Theory]
    [InlineData(12, 5, 10, "too short to infect")]
    [InlineData(20, 2.9, 10, "too little rain measured to infect")]
    [InlineData(20, 5, 16, "too warm to infect")]
    [InlineData(12.5, 3, 15.9, null)]
    public void The_rule_of_wet_hours_asks_for_rain_time_and_cool_air(double hours, double rainMm, double tempC, string? why) =>
        Assert.Equal(why, Ended(RuleName.WetHours, new Diary().Wet(hours, tempC, rainMm).Dry(6, tempC)));

    [Theory]
    [InlineData(10, 2, "too much of it is unknown to tell whether it could infect")]
    [InlineData(9, 2, "too short to infect")]
    [InlineData(10.5, 1, "too short to infect")] // Less than a tenth is missing.
    public void A_spell_of_which_too_much_is_unknown_is_not_called_too_short(double known, double silent, string why) =>
        Assert.Equal(why, Ended(RuleName.WetHours, new Diary().Wet(known, 10, 5).Silence(silent).Wet(0.5).Dry(6)));

    [Theory]
    [InlineData(20, 10, 10, "too little rain measured on one day to infect")]
    [InlineData(2, 10.1, 10, null)]
    [InlineData(20, 12, 5, "too cold to infect")]
    [InlineData(20, 12, 17, null)]
    public void The_rule_of_a_rain_day_asks_for_one_days_rain_and_a_little_warmth(double hours, double rainMm, double tempC, string? why) =>
        Assert.Equal(why, Ended(RuleName.RainDay, new Diary().Wet(hours, tempC, rainMm).Dry(6, tempC)));

    [Theory]
    [InlineData(23, 12, 10, "too short at 8 to 16 °C to infect")]
    [InlineData(24, 1, 10, null)]
    [InlineData(40, 12, 17, "too short at 8 to 16 °C to infect")]
    public void The_rule_of_two_days_asks_for_mild_wet_hours_on_end(double hours, double rainMm, double tempC, string? why) =>
        Assert.Equal(why, Ended(RuleName.TwoDay, new Diary().Wet(hours, tempC, rainMm).Dry(6, tempC)));

    [Fact]
    public void Rain_of_two_days_is_not_one_days_rain() =>
        Assert.Equal(
            "too little rain measured on one day to infect",
            Ended(RuleName.RainDay, new Diary().Dry(20).Wet(4, rainMm: 8).Wet(4, rainMm: 8).Dry(6)));

    [Theory]
    [InlineData(RuleName.RainDay, "too little rain measured on one day to infect")]
    [InlineData(RuleName.TwoDay, "too short at 8 to 16 °C to infect")]
    public void A_spell_that_was_enough_speaks_for_no_other(RuleName rule, string why) =>
        Assert.Equal(why, Ended(rule, new Diary().Wet(30, rainMm: 20).Dry(20).Wet(3, rainMm: 1).Dry(6)));

    [Fact]
    public void Without_a_rain_gauge_no_rain_is_asked_for_or_it_is_said_that_nothing_can_be_judged()
    {
        var humid = new Diary().Rows(20, 10, 95, null).Rows(6, 10, 60, null);

        Assert.Null(Ended(RuleName.WetHours, humid, gauge: false));
        Assert.Equal("without a rain gauge the rule rain-day cannot judge it", Ended(RuleName.RainDay, humid, gauge: false));
    }

    [Fact]
    public void Temperatures_are_told_in_the_gardens_own_units() =>
        Assert.Equal(
            "too short at 46.4 to 60.8 °F to infect", Ended(RuleName.TwoDay, new Diary().Wet(3, rainMm: 1).Dry(6), units: UnitSystem.Us));

    /// <summary>What the rule says at the moment the last spell is over.</summary>
    private static string? Ended(RuleName rule, Diary diary, bool gauge = true, UnitSystem? units = null)
    {
        var site = Some.Garden() with { LevelRule = rule.Word(), HasRainGauge = gauge, Units = units ?? UnitSystem.Metric };
        SiteWatch watch = null!;
        string? said = "no spell ended";
        watch = new SiteWatch(site, fact =>
        {
            if (fact is WetSpellEnded ended)
                said = watch.Plantings[0].UnderOpenSky.Shortfall(ended.Spell, site.Units);
        });
        foreach (var reading in diary.Readings)
            watch.Accept(reading, reading.Time);
        watch.AdvanceTo(diary.Now + site.LateAllowance);
        return said;
    }
}
