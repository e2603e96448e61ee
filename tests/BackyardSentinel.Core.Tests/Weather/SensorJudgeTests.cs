namespace BackyardSentinel.Tests.Weather;

/// <summary>What names, units and ranges tell of a sensor's number. The names are common practice, no source.</summary>
public sealed class SensorJudgeTests
{
    private static SensorTraits Seen(string name, double low, double high) =>
        new([name, "wall", "garden"])
        {
            Lowest = low,
            Highest = high,
            AreWhole = double.IsInteger(low) && double.IsInteger(high),
            Count = 5,
        };

    private static SensorGuess Guess(SensorTraits seen)
    {
        var guess = SensorJudge.Guess(seen, out var whyNot);
        Assert.True(guess is not null, whyNot?.Text);
        return guess;
    }

    [Theory]
    [InlineData("temperature", 5.5, 21.5, "°C", 1)]
    [InlineData("temp_F", 33, 50, "°F", 1)]
    [InlineData("tempC", 33, 50, "°C", 1)]
    [InlineData("temperature", 62, 75, "°F", 1)]
    [InlineData("temperature", 280.15, 294.5, "K", 1)]
    [InlineData("temperature", 215, 230, "°C", 0.1)]
    [InlineData("temperature", 2150, 2300, "°C", 0.01)]
    [InlineData("humidity", 0.4, 0.9, "fraction", 1)]
    [InlineData("humidity", 40, 90, "%", 1)]
    [InlineData("humidity", 400, 900, "%", 0.1)]
    [InlineData("wind_speed_km_h", 3, 30, "km/h", 1)]
    [InlineData("windSpeedMph", 3, 30, "mph", 1)]
    [InlineData("rain_in", 0, 0.2, "in", 1)]
    public void Name_and_range_tell_unit_and_scale(string name, double low, double high, string unit, double scale)
    {
        var guess = Guess(Seen(name, low, high));
        Assert.Equal((unit, scale), (guess.Unit.Symbol, guess.Scale));
    }

    [Theory]
    [InlineData("battery")]
    [InlineData("soil_temperature")]
    [InlineData("temp_max")]
    [InlineData("dew_point")]
    [InlineData("wind_gust")]
    [InlineData("pressure")]
    [InlineData("rssi")]
    [InlineData("timestamp")]
    [InlineData("quince")]
    public void What_is_no_weather_of_the_garden_is_told_and_not_guessed(string name)
    {
        Assert.Null(SensorJudge.Guess(Seen(name, 5, 20), out var whyNot));
        Assert.NotNull(whyNot);
    }

    [Fact]
    public void A_name_of_its_own_that_says_nothing_is_not_what_its_topic_says() =>
        Assert.Null(
            SensorJudge.Guess(new SensorTraits(["quince", "temperature", "garden"]) { OwnNames = 1, Lowest = 5, Highest = 5 }, out _));

    [Fact]
    public void Rain_is_a_total_where_it_says_so_or_stays_where_it_was()
    {
        Assert.Equal(RainCount.Total, Guess(Seen("rain_total_mm", 4, 4)).Rain);
        Assert.Equal(RainCount.Total, Guess(Seen("rain", 12.4, 12.4) with { Repeats = 3 }).Rain);
        Assert.Equal(RainCount.Rate, Guess(Seen("rain_rate", 4, 4)).Rain);
        Assert.Equal(RainCount.Rate, Guess(Seen("rain", 4, 4) with { UnitText = "mm/h" }).Rain);
        var open = Guess(Seen("rain_mm", 0, 0));
        Assert.Equal((RainCount.Each, Sureness.Guess), (open.Rain, open.Sureness));
        Assert.Contains(open.Doubts, doubt => doubt.Text.Contains("counts: total", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("rain_mm", 0.2)]
    [InlineData("rain", 0.2794)]
    [InlineData("rain_in", 0.01)]
    public void The_same_tip_again_and_again_is_no_total_unless_the_grower_says_so(string name, double tip)
    {
        var guess = Guess(Seen(name, tip, tip) with { Repeats = 4 });

        Assert.Equal((RainCount.Each, Sureness.Guess), (guess.Rain, guess.Sureness));
        Assert.Contains(guess.Doubts, doubt => doubt.Text.Contains("counts: total", StringComparison.Ordinal));
    }

    [Fact]
    public void A_gauge_that_is_called_by_its_bucket_tells_millimetres_where_it_says_so_or_sends_parts_of_one()
    {
        var (named, parts, tips) = (
            Guess(Seen("rain_mm", 0, 2) with { Names = ["rain_mm", "tipping-bucket"] }),
            Guess(Seen("rain", 0, 0.2) with { Names = ["rain", "tip"] }),
            Guess(Seen("rain", 0, 2) with { Names = ["rain", "tips"] }));

        Assert.Equal((1, RainCount.Each), (named.Scale, named.Rain));
        Assert.Equal((1, RainCount.Each), (parts.Scale, parts.Rain));
        Assert.Equal((0.2, RainCount.Total), (tips.Scale, tips.Rain));
    }

    [Fact]
    public void A_leaf_sensor_with_a_scale_of_its_own_is_not_guessed()
    {
        Assert.Null(SensorJudge.Guess(Seen("leaf_wetness", 900, 2900), out var whyNot));
        Assert.Contains("wet_on", whyNot!.Text, StringComparison.Ordinal);
        Assert.Equal(7, Guess(Seen("leaf_wetness", 3, 11)).WetOn);
        Assert.Equal(Unit.WetOrDry, Guess(Seen("leaf_wetness", 0, 1)).Unit);
        Assert.Equal(Quantity.LeafWetness, Guess(Seen("wet", 0, 1) with { IsWord = true }).Quantity);
    }

    [Fact]
    public void Names_are_cut_where_words_end() => Assert.Equal(["air", "temp", "c"], SensorWords.Of("airTemp2_C"));
}
