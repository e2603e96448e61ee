namespace BackyardSentinel.Tests.Weather;

/// <summary>Values that cannot be, and what is known of them. The marks of failed sensors are common practice, no source.</summary>
public sealed class RefusedValuesTests
{
    [Theory]
    [InlineData(Quantity.Temperature, 77.0, "°F")]
    [InlineData(Quantity.Temperature, 295.4, "K")]
    [InlineData(Quantity.Temperature, 215, "tenths")]
    [InlineData(Quantity.Temperature, 2150, "hundredths")]
    [InlineData(Quantity.Temperature, -127, "wire is loose")]
    [InlineData(Quantity.Temperature, 85, "power")]
    [InlineData(Quantity.Temperature, -40, "failed")]
    [InlineData(Quantity.Temperature, -999, "measure nothing")]
    [InlineData(Quantity.Temperature, 999.9, "measure nothing")]
    [InlineData(Quantity.Temperature, 65535, "measure nothing")]
    [InlineData(Quantity.Temperature, 65531, "sign")]
    [InlineData(Quantity.Temperature, 125, "°F")]
    [InlineData(Quantity.Humidity, 0, "failed")]
    [InlineData(Quantity.Humidity, -1, "failed")]
    [InlineData(Quantity.Humidity, 998, "measure nothing")]
    [InlineData(Quantity.Humidity, 810, "tenths")]
    [InlineData(Quantity.Humidity, 8100, "fraction")]
    [InlineData(Quantity.Rain, -0.2, "fall back")]
    [InlineData(Quantity.Rain, 812.6, "counts: total")]
    [InlineData(Quantity.LeafWetness, -5, "0 to 100000000 are taken")]
    [InlineData(Quantity.LeafWetness, 1e300, "0 to 100000000 are taken")]
    [InlineData(Quantity.WindSpeed, 215, "tenths")]
    public void A_value_that_cannot_be_is_refused_with_a_guess_of_why(Quantity quantity, double value, string guess)
    {
        Assert.Equal(QualityVerdict.Impossible, QualityControl.Judge(quantity, value, out _));
        Assert.Contains(guess, QualityControl.Why(quantity, value, QualityVerdict.Impossible, UnitSystem.Metric).Text,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Quantity.Temperature, -39.9, -39.9)]
    [InlineData(Quantity.Humidity, 0.5, 0.5)]
    [InlineData(Quantity.Humidity, 103, 100)]
    [InlineData(Quantity.LeafWetness, -0.4, 0)]
    [InlineData(Quantity.LeafWetness, 2_400_000, 2_400_000)]
    public void What_can_be_is_taken(Quantity quantity, double value, double taken)
    {
        Assert.NotEqual(QualityVerdict.Impossible, QualityControl.Judge(quantity, value, out var got));
        Assert.Equal(taken, got);
    }

    [Fact]
    public void A_watch_keeps_what_was_refused_and_is_uncertain_until_the_sensor_says_something_that_can_be()
    {
        var watch = new SiteWatch(Some.Garden(), _ => { });
        for (var minute = 0; minute < 60; minute += 10)
        {
            watch.Accept(Some.Temperature(Some.At(minute / 60.0), 9), Some.At(minute / 60.0));
            watch.Accept(Some.Humidity(Some.At(minute / 60.0), 60), Some.At(minute / 60.0));
        }

        Assert.Equal(QualityVerdict.Impossible, watch.Accept(Some.Temperature(Some.At(1), 77), Some.At(1)));
        watch.AdvanceTo(Some.At(1.25));
        Assert.True(watch.Risks[0].Uncertain);
        Assert.Equal(
            (77.0, Some.At(1)),
            (watch.LastRefused[Quantity.Temperature].Reading.Value, watch.LastRefused[Quantity.Temperature].At));
        Assert.StartsWith(
            "cannot be: -60 to 60 °C are taken",
            watch.LastRefused[Quantity.Temperature].Why(UnitSystem.Metric).Text,
            StringComparison.Ordinal);

        watch.Accept(Some.Temperature(Some.At(1.25), 9), Some.At(1.25));
        watch.AdvanceTo(Some.At(1.5));
        Assert.Empty(watch.Refusing);
        Assert.False(watch.Risks[0].Uncertain);
        Assert.True(watch.LastRefused.ContainsKey(Quantity.Temperature));
    }

    [Fact]
    public void A_time_far_ahead_is_refused_by_name_and_a_copy_is_nothing_to_tell()
    {
        var watch = new SiteWatch(Some.Garden(), _ => { });
        Assert.Equal(QualityVerdict.Ahead, watch.Accept(Some.Temperature(Some.At(2), 9), Some.At(1)));
        Assert.Contains("clock", watch.LastRefused[Quantity.Temperature].Why(UnitSystem.Metric).Text, StringComparison.Ordinal);
        watch.Accept(Some.Humidity(Some.At(1), 60), Some.At(1));
        Assert.Equal(QualityVerdict.Duplicate, watch.Accept(Some.Humidity(Some.At(1), 61), Some.At(1)));
        Assert.False(watch.LastRefused.ContainsKey(Quantity.Humidity));
    }
}
