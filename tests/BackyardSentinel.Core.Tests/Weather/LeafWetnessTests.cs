namespace BackyardSentinel.Tests.Weather;

public class LeafWetnessTests
{
    // Source: an independent evaluation of the tree from the same transcribed coefficients, 315 cases.
    [Fact]
    public void The_tree_agrees_with_an_independent_evaluation()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("leaf_wetness_cart_sld.csv"));
        Assert.Equal(315, rows.Count);

        foreach (var row in rows)
        {
            var (t, rh, wind) = (Number(row["T_C"]), Number(row["RH_pct"]), Number(row["W_ms"]));
            Assert.Equal(Number(row["DPD_C"]), t - Psychrometrics.DewPointC(t, rh), 1e-3);
            Assert.Equal(Number(row["eq1"]), LeafWetness.LightWindIndex(t, rh, wind), 1e-3);
            Assert.Equal(Number(row["eq2_RHsq"]), LeafWetness.WindIndex(t, rh, wind), 1e-3);
            Assert.Equal(row["wet"] == "1", LeafWetness.ClassificationTree(t, rh, wind));
        }
    }

    // Computed independently, not published.
    [Theory]
    [InlineData(15, 95, 1.0, 16.2228, 42.4530, true)]
    [InlineData(20, 90, 1.5, 14.9359, 38.7423, true)]
    [InlineData(25, 85, 0.5, 15.2372, 36.9462, true)]
    [InlineData(15, 92, 3.0, 14.5065, 37.1889, true)]
    [InlineData(10, 98, 5.0, 16.3197, 34.3902, false)]
    public void The_tree_gives_hand_computed_indices(
        double t, double rh, double wind, double light, double strong, bool wet)
    {
        Assert.Equal(light, LeafWetness.LightWindIndex(t, rh, wind), 1e-4);
        Assert.Equal(strong, LeafWetness.WindIndex(t, rh, wind), 1e-4);
        Assert.Equal(wet, LeafWetness.ClassificationTree(t, rh, wind));
    }

    [Fact]
    public void The_tree_is_dry_far_from_the_dew_point_and_in_wind_below_87_8_percent()
    {
        // A depression of 3.7 °C decides before the index, which would say wet here.
        Assert.True(LeafWetness.LightWindIndex(35, 81, 0) > 14.4674);
        Assert.False(LeafWetness.ClassificationTree(35, 81, 0));
        // Humidity decides before the index, which would say wet here; the depression would not decide.
        Assert.True(20 - Psychrometrics.DewPointC(20, 81) < 3.7);
        Assert.True(LeafWetness.WindIndex(20, 81, 12) > 37);
        Assert.False(LeafWetness.ClassificationTree(20, 81, 12));
    }

    [Fact]
    public void Missing_wind_counts_as_calm_air() =>
        Gen.Select(Gen.Double[-10, 40], Gen.Double[60, 104]).Sample((t, rh) =>
            Assert.Equal(
                LeafWetness.ClassificationTree(t, rh, 0.5), LeafWetness.ClassificationTree(t, rh, null)));

    [Fact]
    public void The_tree_answers_below_freezing()
    {
        // Root of 0: 0.0036·25 + 0.1531·97 - 0.4599·0.5·DPD + 0.0035·5·97, by hand; DPD from the same dew point.
        var depressionC = -5 - Psychrometrics.DewPointC(-5, 97);
        Assert.Equal(16.6382 - (0.22995 * depressionC), LeafWetness.LightWindIndex(-5, 97, 0.5), 1e-4);
        Assert.True(LeafWetness.ClassificationTree(-5, 97, null));
    }

    // Computed independently from the logarithmic profile, not published.
    [Fact]
    public void Wind_falls_towards_the_grass()
    {
        Assert.Equal(1.2441, LeafWetness.WindAtTreeHeightMs(3, 10), 1e-4);
        Assert.Equal(1.6639, LeafWetness.WindAtTreeHeightMs(3, 2), 1e-4);
        Assert.Equal(3, LeafWetness.WindAtTreeHeightMs(3, 0.3), 1e-12);
    }

    [Fact]
    public void The_humidity_threshold_itself_is_wet()
    {
        Assert.True(LeafWetness.HumidityThreshold(90));
        Assert.False(LeafWetness.HumidityThreshold(89.9));
        Assert.True(LeafWetness.HumidityThreshold(87, 87));
        Assert.True(LeafWetness.HumidityThreshold(103, 100));
    }

    [Theory]
    [InlineData(87, -10.0, false, true)]
    [InlineData(69.9, 10.0, true, false)]
    [InlineData(70, 3.0, false, true)]
    [InlineData(80, 2.9, false, false)]
    [InlineData(80, 2.9, true, true)]
    [InlineData(86.9, -2.0, true, false)]
    [InlineData(80, -1.9, true, true)]
    [InlineData(80, null, true, true)]
    [InlineData(80, null, false, false)]
    public void The_extended_threshold_follows_the_trend_between_its_limits(
        double rh, double? change, bool wasWet, bool wet) =>
        Assert.Equal(wet, LeafWetness.ExtendedThreshold(rh, change, wasWet));

    // At 15 °C a depression of 2.0 °C is 87.8 % and one of 3.8 °C is 78.0 %; 1.8 and 2.2 °C are 89.0 and 86.7 %. Computed
    // independently.
    [Theory]
    [InlineData(87.9, false, true)]
    [InlineData(87.6, false, false)]
    [InlineData(87.6, true, true)]
    [InlineData(78.2, true, true)]
    [InlineData(77.8, true, false)]
    public void The_dew_point_depression_keeps_its_state_between_onset_and_dry_off(double rh, bool wasWet, bool wet) =>
        Assert.Equal(wet, LeafWetness.DewPointDepression(15, rh, wasWet));

    [Fact]
    public void The_pair_of_depressions_can_be_set()
    {
        Assert.False(LeafWetness.DewPointDepression(15, 88.8, false, 1.8, 2.2));
        Assert.True(LeafWetness.DewPointDepression(15, 89.2, false, 1.8, 2.2));
        Assert.True(LeafWetness.DewPointDepression(15, 86.9, true, 1.8, 2.2));
        Assert.False(LeafWetness.DewPointDepression(15, 86.5, true, 1.8, 2.2));
    }

    [Fact]
    public void Saturated_air_is_wet_and_desert_air_dry_by_every_estimate() =>
        Gen.Select(Gen.Double[0, 35], Gen.Bool).Sample((t, wasWet) =>
        {
            Assert.True(LeafWetness.HumidityThreshold(100));
            Assert.True(LeafWetness.ExtendedThreshold(100, 0, wasWet));
            Assert.True(LeafWetness.DewPointDepression(t, 100, wasWet));
            Assert.True(LeafWetness.ClassificationTree(t, 100, null));
            Assert.False(LeafWetness.HumidityThreshold(30));
            Assert.False(LeafWetness.ExtendedThreshold(30, 0, wasWet));
            Assert.False(LeafWetness.DewPointDepression(t, 30, wasWet));
            Assert.False(LeafWetness.ClassificationTree(t, 30, null));
        });

    [Fact]
    public void A_value_that_cannot_be_is_refused_by_name()
    {
        Refused("humidityPct", () => LeafWetness.HumidityThreshold(double.NaN));
        Refused("thresholdPct", () => LeafWetness.HumidityThreshold(90, 0));
        Refused("humidityPct", () => LeafWetness.ExtendedThreshold(double.NaN, 0, false));
        Refused("changePct", () => LeafWetness.ExtendedThreshold(80, double.NaN, false));
        Refused("temperatureC", () => LeafWetness.DewPointDepression(double.NaN, 80, false));
        Refused("onsetC", () => LeafWetness.DewPointDepression(15, 80, false, -1));
        Refused("dryOffC", () => LeafWetness.DewPointDepression(15, 80, false, 2, 2));
        Refused("temperatureC", () => LeafWetness.ClassificationTree(200, 80, 1));
        Refused("humidityPct", () => LeafWetness.ClassificationTree(15, double.NaN, 1));
        Refused("windMs", () => LeafWetness.ClassificationTree(15, 90, double.NaN));
        Refused("windMs", () => LeafWetness.ClassificationTree(15, 90, -0.1));
        Refused("windMs", () => LeafWetness.WindAtTreeHeightMs(double.NaN, 2));
        Refused("heightM", () => LeafWetness.WindAtTreeHeightMs(3, 0.1));
    }

    private static void Refused(string parameter, Func<object> act) =>
        Assert.Throws<ArgumentOutOfRangeException>(parameter, act);

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
