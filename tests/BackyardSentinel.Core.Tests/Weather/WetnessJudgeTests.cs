namespace BackyardSentinel.Tests.Weather;

// The order of evidence: frost, rain, the leaf sensor, humidity. 90 % as the limit: Sentelhas et al., relative humidity
// as estimator of leaf wetness duration, XVI Brazilian Congress of Agrometeorology; the order and the least coverage of the sensor are
// assumed.
public class WetnessJudgeTests
{
    [Theory]
    [InlineData(-0.1, 2.0, 99, WetnessState.Frozen)]
    [InlineData(0.0, 2.0, 50, WetnessState.Wet)]
    [InlineData(10.0, 0.0, 90, WetnessState.Wet)]
    [InlineData(10.0, 0.0, 89.9, WetnessState.Dry)]
    public void Frost_comes_before_rain_and_rain_before_humidity(double tempC, double rainMm, double humidityPct, WetnessState state) =>
        Assert.Equal(state, Judge(Some.Interval(0, tempC, rainMm, humidityPct)).State);

    [Theory]
    [InlineData(0.5, 0.25, WetnessState.Wet, 0.25)]
    [InlineData(0.5, 0.0, WetnessState.Dry, 0)]
    [InlineData(0.49, 0.0, WetnessState.Wet, 1)]
    public void The_leaf_sensor_comes_before_humidity_where_it_covers_at_least_half(
        double coverage,
        double share,
        WetnessState state,
        double fraction)
    {
        var humid = Some.Interval(0, humidityPct: 95) with { LeafWetCoverage = coverage, LeafWetShare = share };

        Assert.Equal(new Wetness(state, fraction), Judge(humid));
    }

    [Fact]
    public void Without_any_of_them_nothing_is_known() =>
        Assert.Equal(new Wetness(WetnessState.Unknown, 0), Judge(Some.Interval(0, tempC: 10, rainMm: 0)));

    [Fact]
    public void The_humidity_limit_can_be_tuned_to_the_site() =>
        Assert.Equal(
            WetnessState.Wet,
            new WetnessJudge(new WetSpellLimits(wetHumidityPct: 85)).Judge(Some.Interval(0, humidityPct: 86)).State);

    private static Wetness Judge(WeatherInterval interval) => new WetnessJudge(WetSpellLimits.Usual).Judge(interval);
}
