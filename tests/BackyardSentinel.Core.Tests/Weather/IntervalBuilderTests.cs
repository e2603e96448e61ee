namespace BackyardSentinel.Tests.Weather;

// Intervals of ten minutes, a hold of 90 minutes: the site's defaults. Expected figures are worked out by hand.
public class IntervalBuilderTests
{
    [Fact]
    public void A_momentary_level_holds_for_ninety_minutes_and_no_longer()
    {
        var intervals = Build(Some.Temperature(Some.Clock(0, 0), 7), Some.Humidity(Some.Clock(3, 0), 50));

        Assert.All(intervals.Take(9), interval => Assert.Equal(7, interval.TemperatureC));
        Assert.All(intervals.Skip(9), interval => Assert.Null(interval.TemperatureC));
        Assert.Equal(19, intervals.Count);
    }

    [Fact]
    public void Coverage_is_the_share_of_the_interval_that_a_held_value_reaches()
    {
        var intervals = Build(Some.Temperature(Some.Clock(0, 4), 7), Some.Humidity(Some.Clock(3, 0), 50));

        Assert.Equal((7, 0.6), (intervals[0].TemperatureC, intervals[0].TemperatureCoverage));
        Assert.Equal((7, 1.0), (intervals[8].TemperatureC, intervals[8].TemperatureCoverage));
        Assert.Equal((7, 0.4), (intervals[9].TemperatureC, intervals[9].TemperatureCoverage));
        Assert.Equal((null, 0.0), (intervals[10].TemperatureC, intervals[10].TemperatureCoverage));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void What_was_said_as_an_outage_began_stands_for_its_grace_whether_it_is_known_before_or_told_after(bool isKnownBefore)
    {
        var since = Some.Clock(0, 2);
        var builder = new IntervalBuilder(Some.Garden(), isKnownBefore ? new Outages([since]) : null);
        builder.Add(Some.Temperature(since, 7));
        Assert.True(builder.TryTake(Some.Clock(0, 10), out _));
        if (!isKnownBefore)
            builder.Interrupt(since);
        builder.Add(Some.Humidity(Some.Clock(1, 0), 50));

        var intervals = Rest(builder);
        Assert.Equal((7, 0.7), (intervals[0].TemperatureC, intervals[0].TemperatureCoverage));
        Assert.All(intervals.Skip(1), interval => Assert.Null(interval.TemperatureC));
    }

    [Fact]
    public void The_next_reading_cuts_a_level_and_the_mean_is_weighted_by_time()
    {
        var intervals = Build(Some.Temperature(Some.Clock(0, 0), 10), Some.Temperature(Some.Clock(0, 4), 20));

        Assert.Equal(16, intervals[0].TemperatureC);
    }

    [Fact]
    public void A_level_with_a_period_holds_for_just_that_period()
    {
        var intervals = Build(Some.Temperature(Some.Clock(0, 0), 7, minutes: 60), Some.Humidity(Some.Clock(2, 0), 50));

        Assert.All(intervals.Take(6), interval => Assert.Equal((7, 1.0), (interval.TemperatureC, interval.TemperatureCoverage)));
        Assert.All(intervals.Skip(6), interval => Assert.Null(interval.TemperatureC));
    }

    [Fact]
    public void A_period_is_cut_by_the_next_reading()
    {
        var intervals = Build(Some.Temperature(Some.Clock(0, 0), 7, minutes: 60), Some.Temperature(Some.Clock(0, 25), 9, minutes: 60));

        Assert.Equal([7, 7, 8, 9, 9, 9, 9, 9, 9], intervals.Select(interval => interval.TemperatureC!.Value));
        Assert.Equal(0.5, intervals[8].TemperatureCoverage);
    }

    [Fact]
    public void Rain_stamped_at_an_exact_start_fell_in_the_interval_before()
    {
        var intervals = Build(
            Some.Rain(Some.Clock(0, 10), 0.2),
            Some.Rain(Some.Clock(0, 10, 1), 0.4),
            Some.Rain(Some.Clock(0, 20), 0.8),
            Some.Humidity(Some.Clock(0, 25), 50));

        Assert.Equal(Some.Clock(0, 0), intervals[0].Start);
        Assert.Equal(0.2, intervals[0].RainMm);
        Assert.Equal(1.2, intervals[1].RainMm!.Value, 12);
        Assert.Null(intervals[2].RainMm);
    }

    [Fact]
    public void Rain_of_a_period_is_spread_evenly_over_it()
    {
        var intervals = Build(Some.Rain(Some.Clock(0, 5), 5, minutes: 25));

        Assert.Equal([1, 2, 2], intervals.Select(interval => interval.RainMm!.Value));
    }

    [Fact]
    public void Rain_of_a_period_at_an_exact_start_falls_in_the_interval_that_begins_there()
    {
        var intervals = Build(Some.Humidity(Some.Clock(0, 0), 50), Some.Rain(Some.Clock(0, 10), 3, minutes: 10));

        Assert.Equal([null, 3.0], intervals.Select(interval => interval.RainMm));
    }

    [Fact]
    public void No_rain_reading_is_no_value_but_a_reading_of_zero_is_zero()
    {
        var intervals = Build(Some.Rain(Some.Clock(0, 5), 0), Some.Humidity(Some.Clock(0, 15), 50));

        Assert.Equal([0.0, null], intervals.Select(interval => interval.RainMm));
    }

    [Fact]
    public void The_preferred_series_counts_wherever_it_covers_anything()
    {
        var intervals = Build(
            Some.Temperature(Some.Clock(0, 0), 5, minutes: 10, rank: 0),
            Some.Temperature(Some.Clock(0, 0), 8, minutes: 30, rank: 1),
            Some.Temperature(Some.Clock(0, 29), 5, minutes: 1, rank: 0),
            Some.Rain(Some.Clock(0, 0), 1, minutes: 10, rank: 0),
            Some.Rain(Some.Clock(0, 0), 6, minutes: 30, rank: 1));

        Assert.Equal([5, 8, 5], intervals.Select(interval => interval.TemperatureC!.Value));
        Assert.Equal([1, 2, 2], intervals.Select(interval => interval.RainMm!.Value));
    }

    [Fact]
    public void Of_two_readings_of_one_series_and_time_the_first_counts()
    {
        var builder = new IntervalBuilder(Some.Garden());

        Assert.Equal(QualityVerdict.Good, builder.Add(Some.Temperature(Some.Clock(0, 0), 5)));
        Assert.Equal(QualityVerdict.Duplicate, builder.Add(Some.Temperature(Some.Clock(0, 0), 25)));
        Assert.Equal(QualityVerdict.Good, builder.Add(Some.Rain(Some.Clock(0, 1), 0.2)));
        Assert.Equal(QualityVerdict.Duplicate, builder.Add(Some.Rain(Some.Clock(0, 1), 0.2)));
        Assert.Equal(QualityVerdict.Good, builder.Add(Some.Temperature(Some.Clock(0, 0), 25, rank: 1)));

        var interval = Assert.Single(Rest(builder));
        Assert.Equal((5, 0.2), (interval.TemperatureC, interval.RainMm));
    }

    [Fact]
    public void A_reading_of_a_judged_interval_is_late()
    {
        var builder = new IntervalBuilder(Some.Garden());
        builder.Add(Some.Temperature(Some.Clock(0, 9), 5));
        Assert.True(builder.TryTake(Some.Clock(0, 10), out _));

        Assert.Equal(QualityVerdict.Late, builder.Add(Some.Rain(Some.Clock(0, 10), 0.2)));
        Assert.Equal(QualityVerdict.Late, builder.Add(Some.Temperature(Some.Clock(0, 8), 5)));
        Assert.Equal(QualityVerdict.Good, builder.Add(Some.Rain(Some.Clock(0, 10, 1), 0.2)));
    }

    [Fact]
    public void A_hole_in_the_data_is_made_of_intervals_without_values()
    {
        var intervals = Build(
            Some.Temperature(Some.Clock(0, 0), 7, minutes: 10),
            Some.Rain(Some.Clock(0, 0), 1, minutes: 10),
            Some.Temperature(Some.Clock(0, 40), 8, minutes: 10));

        Assert.Equal([7, null, null, null, 8], intervals.Select(interval => interval.TemperatureC));
        Assert.All(intervals.Skip(1).Take(3), interval => Assert.Equal(
            new WeatherInterval(interval.Start, TimeSpan.FromMinutes(10), null, null, null, null, null, 0, 0, 0), interval));
        Assert.Equal(Enumerable.Range(0, 5).Select(n => Some.Clock(0, 10 * n)), intervals.Select(interval => interval.Start));
    }

    [Fact]
    public void Leaf_wetness_gives_the_share_of_covered_time_between_its_two_limits()
    {
        // On at 50, off below 20: wet from minute 2, still wet at 30, dry from minute 8.
        var intervals = Build(
            Some.Leaf(Some.Clock(0, 0), 30),
            Some.Leaf(Some.Clock(0, 2), 50),
            Some.Leaf(Some.Clock(0, 5), 30),
            Some.Leaf(Some.Clock(0, 8), 19));

        Assert.Equal((0.6, 1.0), (intervals[0].LeafWetShare, intervals[0].LeafWetCoverage));
    }

    [Fact]
    public void After_a_hole_the_old_wet_state_of_the_leaf_says_nothing()
    {
        // 30 lies between the limits: wet right after a wet value, not wet after a gap.
        Assert.Equal(
            [1.0, 1.0],
            Build(Some.Leaf(Some.Clock(0, 0), 60, 10), Some.Leaf(Some.Clock(0, 10), 30, 10)).Select(i => i.LeafWetShare));
        Assert.Equal(
            [1.0, null, 0.0],
            Build(Some.Leaf(Some.Clock(0, 0), 60, 10), Some.Leaf(Some.Clock(0, 20), 30, 10)).Select(i => i.LeafWetShare));
    }

    [Theory]
    [InlineData(Quantity.Temperature, 60.1)]
    [InlineData(Quantity.Temperature, double.NaN)]
    [InlineData(Quantity.Humidity, 105.1)]
    [InlineData(Quantity.Rain, -0.1)]
    [InlineData(Quantity.WindSpeed, double.PositiveInfinity)]
    public void A_value_that_cannot_be_is_refused(Quantity quantity, double value)
    {
        var builder = new IntervalBuilder(Some.Garden());

        Assert.Equal(QualityVerdict.Impossible, builder.Add(new Reading(quantity, Some.Midnight, value)));
        Assert.Empty(Rest(builder));
    }

    [Fact]
    public void Humidity_a_little_above_a_hundred_counts_as_a_hundred()
    {
        var builder = new IntervalBuilder(Some.Garden());

        Assert.Equal(QualityVerdict.Clamped, builder.Add(Some.Humidity(Some.Midnight, 104)));
        Assert.Equal(100, Assert.Single(Rest(builder)).HumidityPct);
    }

    private static List<WeatherInterval> Build(params Reading[] readings)
    {
        var builder = new IntervalBuilder(Some.Garden());
        foreach (var reading in readings)
            Assert.Equal(QualityVerdict.Good, builder.Add(reading));
        return Rest(builder);
    }

    private static List<WeatherInterval> Rest(IntervalBuilder builder)
    {
        var intervals = new List<WeatherInterval>();
        while (builder.TryTakeRest(out var interval))
            intervals.Add(interval);
        return intervals;
    }
}
