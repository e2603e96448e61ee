using BackyardSentinel.Events;

namespace BackyardSentinel.Tests.Infection;

public class LevelTests
{
    [Fact]
    public void The_level_climbs_with_a_spell_and_falls_when_it_ends()
    {
        var seen = new Diary().Dry(2).Wet(48, tempC: 8, rainMm: 10).Dry(6).Live();

        Assert.Equal(
            [Level.Building, Level.Possible, Level.Likely, Level.Severe, Level.Clear],
            seen.Changes.Select(change => change.To));
        Assert.Equal([Level.Clear, Level.Building, Level.Possible, Level.Likely, Level.Severe], seen.Changes.Select(change => change.From));
        Assert.Equal((Some.Clock(2, 10), Some.Clock(14, 30)), (seen.Changes[0].At, seen.Changes[1].At));
        Assert.Equal(Some.At(50 + 4).AddMinutes(10), seen.Changes[^1].At);
    }

    [Fact]
    public void After_two_hours_without_any_reading_the_level_is_unknown_since_the_last_one()
    {
        var change = Assert.Single(new Diary().Dry(1).Silence(3).Live().Changes);

        Assert.Equal((Level.Unknown, Some.At(1), Some.Clock(3, 10)), (change.To, change.Since, change.At));
    }

    [Fact]
    public void Two_hours_of_silence_exactly_are_still_trusted() =>
        Assert.Empty(new Diary().Dry(1).Silence(2).Live().Changes);

    [Fact]
    public void The_level_returns_with_the_evidence()
    {
        var seen = new Diary().Dry(1).Silence(3).Dry(1).Live();

        Assert.Equal([Level.Unknown, Level.Clear], seen.Changes.Select(change => change.To));
        Assert.Equal(Some.Clock(4, 10), seen.Changes[1].At);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Either_temperature_or_evidence_of_wetness_missing_is_enough(bool temperatureMissing)
    {
        var seen = new Diary().Dry(1).Rows(3, temperatureMissing ? null : 10, temperatureMissing ? 60 : null, rainMm: 0).Live();

        Assert.Equal((Level.Unknown, Some.At(1)), (Assert.Single(seen.Changes).To, seen.Changes[0].Since));
        Assert.All(seen.Risk.Opinions.Values, level => Assert.Equal(Level.Unknown, level));
    }

    [Fact]
    public void Tissue_that_cannot_be_infected_is_never_unknown() =>
        Assert.Empty(new Diary().Dry(1).Silence(48).Live(Some.Garden(stage: 0)).Changes);

    [Fact]
    public void A_spell_through_a_sensor_failure_goes_on_and_is_uncertain()
    {
        var seen = new Diary().Wet(10, rainMm: 5).Silence(3).Wet(4).Dry(6).Replayed();

        var spell = Assert.Single(seen.Spells);
        Assert.Equal((14.0, true), (spell.WetHours, spell.Uncertain));
        Assert.True(Assert.Single(seen.Closed()).Uncertain);
        Assert.Contains(seen.Changes, change => change.To == Level.Unknown);
    }

    [Theory]
    [InlineData(1, false)]
    [InlineData(2, true)]
    public void The_standing_judgement_is_as_uncertain_as_its_spell(int silentHours, bool uncertain)
    {
        var risk = new Diary().Wet(8, rainMm: 5).Silence(silentHours).Wet(1).Live().Risk;

        Assert.Equal((Level.Building, uncertain), (risk.Level, risk.Uncertain));
    }

    [Theory]
    [InlineData(9, 1, Level.Building)] // Too little of it is missing to matter.
    [InlineData(9, 2, Level.Building)] // 12 h with what is missing.
    [InlineData(9.5, 2, Level.Unknown)] // 12.5 h.
    [InlineData(13, 2, Level.Possible)] // What is known suffices.
    public void Where_what_is_missing_could_make_a_window_the_level_is_unknown_and_not_building(double known, int silent, Level level)
    {
        // No silence is longer than the two hours after which nothing is known any more.
        var seen = new Diary().Wet(known, rainMm: 5).Silence(silent).Wet(1).Live();
        Assert.Equal(level, seen.Risk.Level);
        Assert.Equal(level == Level.Building, seen.Risk.FractionReached is not null);

        Assert.Equal(Level.Clear, new Diary().Wet(known, rainMm: 5).Silence(silent).Wet(1).Dry(5).Live().Risk.Level);
    }

    [Theory]
    [InlineData(2, 10)] // Too little rain in any case.
    [InlineData(5, 17)] // Too warm in any case.
    public void Where_no_wetness_more_could_make_a_window_the_spell_builds(double rainMm, double tempC) =>
        Assert.Equal(Level.Building, new Diary().Wet(10, tempC, rainMm).Silence(2).Wet(1, tempC).Live().Risk.Level);

    [Fact]
    public void Sensors_that_speak_less_often_than_a_value_holds_do_not_make_a_long_wet_night_too_short()
    {
        // Each three hours, and a value holds for one and a half.
        List<(Reading, DateTimeOffset)> told = [];
        for (var hour = 0; hour <= 24; hour += 3)
        {
            foreach (Reading reading in (Reading[])[Some.Temperature(Some.At(hour), 8), Some.Humidity(Some.At(hour), hour < 20 ? 96 : 70)])
                told.Add((reading, reading.Time));
            told.Add((Some.Rain(Some.At(hour), 2), Some.At(hour)));
        }

        var seen = Seen.From(Some.Garden(), told, Some.At(20));

        Assert.Equal(Level.Unknown, seen.Risk.Level);
        Assert.DoesNotContain(seen.Changes, change => change.To == Level.Clear);
    }

    [Fact]
    public void A_spell_with_a_tenth_missing_is_not_uncertain()
    {
        var spell = Assert.Single(new Diary().Wet(9, rainMm: 5).Silence(2).Wet(9).Dry(6).Replayed().Spells);

        Assert.Equal((18.0, false), (spell.WetHours, spell.Uncertain));
    }

    [Fact]
    public void Frost_is_evidence_but_neither_wets_nor_counts()
    {
        var seen = new Diary().Wet(12, tempC: -0.5, rainMm: 20).Live();
        Assert.Empty(seen.Events);
        Assert.Equal(WetnessState.Frozen, seen.Watch.LastWetness?.State);

        // Two frozen hours inside a spell belong to its gap and add neither hours nor rain.
        var spell = Assert.Single(new Diary().Wet(6, rainMm: 3).Wet(2, tempC: -2, rainMm: 9).Wet(6).Dry(6).Replayed().Spells);
        Assert.Equal((12.0, 3.0, 10.0), (spell.WetHours, spell.RainMm, spell.MinTempC));
        Assert.False(spell.Uncertain);
    }

    [Fact]
    public void Zero_degrees_are_not_frozen() =>
        Assert.Equal(6, Assert.Single(new Diary().Wet(6, tempC: 0, rainMm: 3).Replayed().Spells).WetHours);

    // That wetness stands in for rain is assumed: dew and fog are reported too short to infect (Rossi et al. 2006).
    [Fact]
    public void In_a_garden_without_rain_gauge_twelve_and_a_half_hours_of_wetness_open_a_window()
    {
        var site = Some.Garden() with { HasRainGauge = false };

        var seen = new Diary().Dry(2).Rows(12.5, 10, 95, rainMm: null).Rows(6, 10, 60, rainMm: null).Replayed(site);

        var window = Assert.Single(seen.Closed());
        Assert.Equal(
            (Some.At(14.5), Some.At(14.5), Level.Possible, true),
            (window.OpenedAt, window.ClosedAt, window.Level, window.NoRainGauge));
        Assert.True(Assert.Single(seen.Spells).NoRainGauge);
        Assert.Equal([Level.Building, Level.Possible, Level.Clear], seen.Changes.Select(change => change.To));
        Assert.Empty(new Diary().Rows(12, 10, 95, rainMm: null).Rows(6, 10, 60, rainMm: null).Replayed(site).Opened());
    }

    [Fact]
    public void Without_rain_gauge_the_rain_day_rule_has_no_opinion_and_the_others_have()
    {
        var risk = new Diary().Rows(6, 10, 95, rainMm: null).Live(Some.Garden() with { HasRainGauge = false }).Risk;

        Assert.Equal(
            [("rain-day", Level.Unknown), ("two-day", Level.Clear), ("wet-hours", Level.Building)],
            risk.Opinions.OrderBy(opinion => opinion.Key, StringComparer.Ordinal).Select(opinion => (opinion.Key, opinion.Value)));
        Assert.Equal(6 / 12.5, risk.FractionReached!.Value, 9);
    }

    [Fact]
    public void Another_rule_can_drive_the_level()
    {
        var seen = new Diary().Rows(24, 8, 80, 11).Dry(1).Live(Some.Garden() with { LevelRule = RuleName.RainDay.Word() });

        Assert.Equal([Level.Likely, Level.Clear], seen.Changes.Select(change => change.To));
        Assert.Equal([Some.Clock(0, 10), Some.At(24)], seen.Changes.Select(change => change.At));
    }

    [Fact]
    public void Plantings_at_different_stages_are_judged_apart()
    {
        var site = Some.Garden() with { Plantings = [new Planting("early", Stage: 9), new Planting("late", Stage: 0)] };

        var seen = new Diary().Wet(20, rainMm: 5).Dry(6).Replayed(site);

        Assert.All(seen.Events.OfType<InfectionWindowOpened>(), opened => Assert.Equal("early", opened.Window.Planting));
        Assert.Single(seen.Opened());
    }
}
