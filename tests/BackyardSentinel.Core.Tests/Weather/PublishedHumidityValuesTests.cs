using BackyardSentinel.Tests.Reference;

namespace BackyardSentinel.Tests.Weather;

/// <summary>Published values, written here so that they are checked on any machine.</summary>
public class PublishedHumidityValuesTests
{
    // ASHRAE Handbook Fundamentals 2017, chapter 1, table 3 (Pa), as quoted in PsychroLib's own tests with 300 ppm;
    // -60 °C is printed with three digits only.
    [Theory]
    [InlineData(-60, 1.08, 0.01)]
    [InlineData(-20, 103.24, 300e-6)]
    [InlineData(-5, 401.74, 300e-6)]
    [InlineData(5, 872.6, 300e-6)]
    [InlineData(25, 3169.7, 300e-6)]
    [InlineData(50, 12351.3, 300e-6)]
    [InlineData(100, 101418.0, 300e-6)]
    public void Hyland_Wexler_gives_the_ASHRAE_table(double t, double pa, double relative)
    {
        var hpa = t < 0 ? HylandWexler.OverIceHpa(t) : HylandWexler.OverWaterHpa(t);
        Assert.Equal(pa, hpa * 100, pa * relative);
    }

    // FAO-56 (Allen et al. 1998), example 5: 18 °C at 82 % and 25 °C at 54 %: 1.70 kPa, 1.69 from the night alone. Ours is
    // lower by up to 0.3 %.
    [Fact]
    public void FAO_example_5_is_nearly_met()
    {
        Assert.Equal(16.9, Psychrometrics.VapourPressureHpa(18, 82), 0.06);
        Assert.Equal(
            17.0, (Psychrometrics.VapourPressureHpa(18, 82) + Psychrometrics.VapourPressureHpa(25, 54)) / 2, 0.06);
    }

    // FAO-56, example 3: 24.5 and 15 °C, 3.075 and 1.705 kPa, as quoted in the tests of a public FAO-56 implementation.
    [Fact]
    public void FAO_example_3_is_nearly_met()
    {
        Assert.Equal(30.75, Psychrometrics.SaturationOverWaterHpa(24.5), 30.75 * 3e-3);
        Assert.Equal(17.05, Psychrometrics.SaturationOverWaterHpa(15), 17.05 * 3e-3);
    }

    // PsychroLib's own checks: 7 °C, 61 %, 1000 hPa, wet bulb 3.92667 °C (relative 1e-3); 25 °C, 80 %, dew point 21.3094 °C.
    [Fact]
    public void The_reference_librarys_own_checks_are_met()
    {
        Assert.Equal(3.92667, HylandWexler.WetBulbC(7, 61, 1000), 0.004);
        Assert.Equal(21.3094, Psychrometrics.DewPointC(25, 80), 0.05);
    }

    // Computed independently from the WMO-No. 8 formulas, not published.
    [Fact]
    public void Dew_points_match_hand_computed_ones()
    {
        Assert.Equal(9.2552, Psychrometrics.DewPointC(20, 50), 1e-4);
        Assert.Equal(21.3069, Psychrometrics.DewPointC(25, 80), 1e-4);
        Assert.Equal(-7.9174, Psychrometrics.DewPointC(-5, 80), 1e-4);
    }

    // Computed independently from the WMO-No. 8 psychrometer formula at 1013.25 hPa, not published.
    [Theory]
    [InlineData(10, 50, 5.5757)]
    [InlineData(20, 90, 18.8750)]
    [InlineData(30, 50, 22.0866)]
    public void The_psychrometers_wet_bulb_matches_a_hand_computed_one(double t, double rh, double wetBulbC) =>
        Assert.Equal(wetBulbC, Psychrometrics.WetBulbC(t, rh, 1013.25), 1e-4);
}
