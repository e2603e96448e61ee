namespace BackyardSentinel.Tests.Infection;

// The rule of two mild, wet days is common practice, no source.
public class TwoDayRuleTests
{
    [Fact]
    public void A_mild_humid_day_is_likely_and_two_are_severe()
    {
        var window = Assert.Single(new Diary().Wet(24, tempC: 12).Dry(6).Replayed().Closed(RuleName.TwoDay));
        Assert.Equal((Some.At(24), Some.At(24), Level.Likely, 24.0), (window.OpenedAt, window.ClosedAt, window.Level, window.WetHours));

        window = Assert.Single(new Diary().Wet(48, tempC: 12).Dry(6).Replayed().Closed(RuleName.TwoDay));
        Assert.Equal((Some.At(24), Some.At(48), Level.Severe, 48.0), (window.OpenedAt, window.ClosedAt, window.Level, window.WetHours));
    }

    [Fact]
    public void Ten_minutes_less_are_not_enough_for_either()
    {
        Assert.Empty(new Diary().Wet(24 - (1.0 / 6), tempC: 12).Replayed().Opened(RuleName.TwoDay));
        Assert.Equal(Level.Likely, Assert.Single(new Diary().Wet(48 - (1.0 / 6), tempC: 12).Replayed().Closed(RuleName.TwoDay)).Level);
    }

    [Theory]
    [InlineData(7.9, false)]
    [InlineData(8.0, true)]
    [InlineData(16.0, true)]
    [InlineData(16.1, false)]
    public void Only_eight_to_sixteen_degrees_count(double tempC, bool opens) =>
        Assert.Equal(opens, new Diary().Wet(30, tempC).Replayed().Opened(RuleName.TwoDay).Count == 1);

    [Theory]
    [InlineData(89.9, false)]
    [InlineData(90.0, true)]
    public void Without_rain_or_sensor_only_ninety_per_cent_humidity_counts(double humidityPct, bool opens) =>
        Assert.Equal(opens, new Diary().Rows(30, 12, humidityPct).Replayed().Opened(RuleName.TwoDay).Count == 1);

    [Fact]
    public void Humidity_counts_even_where_the_leaf_sensor_is_dry_and_a_wet_sensor_counts_in_drier_air()
    {
        Assert.Single(new Diary().Rows(30, 12, 95, leaf: 0).Replayed().Opened(RuleName.TwoDay));
        Assert.Single(new Diary().Rows(30, 12, 60, leaf: 100).Replayed().Opened(RuleName.TwoDay));
    }

    [Fact]
    public void An_hour_outside_keeps_the_stretch_and_more_breaks_it()
    {
        var kept = Assert.Single(new Diary().Wet(20).Dry(1).Wet(5).Replayed().Closed(RuleName.TwoDay));
        Assert.Equal((Some.At(25), 25.0), (kept.OpenedAt, kept.WetHours));

        Assert.Empty(new Diary().Wet(20).Dry(1 + (1.0 / 6)).Wet(5).Replayed().Opened(RuleName.TwoDay));
    }

    [Fact]
    public void Each_break_is_counted_for_itself()
    {
        var kept = Assert.Single(
            new Diary().Wet(8).Dry(0.5).Wet(6).Dry(0.5).Wet(6).Dry(0.5).Wet(5).Replayed().Closed(RuleName.TwoDay));
        Assert.Equal(25.0, kept.WetHours);
    }

    [Fact]
    public void A_stretch_has_the_rain_and_the_mean_of_its_own_time_only()
    {
        var windows = new Diary()
            .Wet(20, tempC: 10, rainMm: 3).Dry(1, tempC: 30).Wet(5, tempC: 12, rainMm: 2)
            .Dry(6)
            .Wet(24, tempC: 9, rainMm: 1)
            .Replayed()
            .Closed(RuleName.TwoDay);

        Assert.Equal(
            [(5.0, 10.4, 25.0), (1.0, 9.0, 24.0)],
            windows.Select(one => (one.RainMm!.Value, Math.Round(one.MeanTempC!.Value, 6), one.WetHours!.Value)));
    }

    [Fact]
    public void Missing_data_are_time_outside()
    {
        Assert.Single(new Diary().Wet(20).Silence(1).Wet(5).Replayed().Opened(RuleName.TwoDay));
        Assert.Empty(new Diary().Wet(20).Silence(1.5).Wet(5).Replayed().Opened(RuleName.TwoDay));
    }

    [Fact]
    public void Dormant_buds_open_nothing() =>
        Assert.Empty(new Diary().Wet(60).Replayed(Some.Garden(stage: 0)).Opened(RuleName.TwoDay));
}
