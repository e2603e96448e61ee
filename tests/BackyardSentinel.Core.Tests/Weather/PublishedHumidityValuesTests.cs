using BackyardSentinel.Weather;
using Xunit;

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
        var hpa = t < 0
            ? SaturationVapourPressure.IceHylandWexler1983Hpa(t)
            : SaturationVapourPressure.WaterHylandWexler1983Hpa(t);
        Assert.Equal(pa, hpa * 100, pa * relative);
    }

    // IAPWS triple point 273.16 K, 611.657 Pa; from memory.
    [Fact]
    public void Both_IAPWS_formulas_meet_at_the_triple_point()
    {
        Assert.Equal(6.11657, SaturationVapourPressure.WaterIapws1992Hpa(0.01), 1e-6);
        Assert.Equal(6.11657, SaturationVapourPressure.IceIapws2008Hpa(0.01), 1e-6);
    }

    // IAPWS R14-08, check value at 230 K; Murphy and Koop 2005, check values at 240 K; from memory.
    [Fact]
    public void The_cold_check_values_are_met()
    {
        Assert.Equal(8.94735, SaturationVapourPressure.IceIapws2008Hpa(230 - 273.15) * 100, 5e-5);
        Assert.Equal(27.272, SaturationVapourPressure.IceMurphyKoop2005Hpa(240 - 273.15) * 100, 5e-4);
        Assert.Equal(37.667, SaturationVapourPressure.WaterMurphyKoop2005Hpa(240 - 273.15) * 100, 5e-4);
    }

    // FAO-56 (Allen et al. 1998), example 2: pressure at 1800 m, 81.8 kPa; example 3: 24.5 and 15 °C; as quoted in the
    // tests of a public FAO-56 implementation.
    [Fact]
    public void FAO_examples_2_and_3_are_met()
    {
        Assert.Equal(818, Psychrometrics.StationPressureFao56Hpa(1800), 0.5);
        var (max, min) = (SaturationVapourPressure.WaterFao56Hpa(24.5), SaturationVapourPressure.WaterFao56Hpa(15));
        Assert.Equal(30.75, max, 0.005);
        Assert.Equal(17.05, min, 0.005);
        Assert.Equal(23.9, (max + min) / 2, 0.05);
    }

    // FAO-56, example 4: 25.6 °C, wet bulb 19.5 °C, 1200 m (87.9 kPa), ventilated psychrometer (0.000662): 1.91 kPa.
    [Fact]
    public void FAO_example_4_is_met()
    {
        var saturationKPa = SaturationVapourPressure.WaterFao56Hpa(19.5) / 10;
        var pressureKPa = Psychrometrics.StationPressureFao56Hpa(1200) / 10;
        Assert.Equal(2.267, saturationKPa, 0.0005);
        Assert.Equal(87.9, pressureKPa, 0.05);
        Assert.Equal(1.91, saturationKPa - (0.000662 * pressureKPa * (25.6 - 19.5)), 0.005);
    }

    // FAO-56, example 5: 18 °C at 82 % and 25 °C at 54 %: 1.70 kPa, 1.69 from the night, 1.78 from the mean humidity.
    // The program's own saturation pressure is lower by up to 0.3 %.
    [Fact]
    public void FAO_example_5_is_met_by_the_FAO_formula_and_nearly_by_our_own()
    {
        var (cool, warm) = (SaturationVapourPressure.WaterFao56Hpa(18), SaturationVapourPressure.WaterFao56Hpa(25));
        Assert.Equal(17.0, ((cool * 0.82) + (warm * 0.54)) / 2, 0.05);
        Assert.Equal(16.9, cool * 0.82, 0.05);
        Assert.Equal(17.8, 0.68 * (cool + warm) / 2, 0.05);
        Assert.Equal(
            17.0, (Psychrometrics.VapourPressureHpa(18, 82) + Psychrometrics.VapourPressureHpa(25, 54)) / 2, 0.06);
    }

    // Stull 2011, worked example: 20 °C, 50 % gives 13.7 °C; from memory.
    [Fact]
    public void Stulls_worked_example_is_met() => Assert.Equal(13.7, Psychrometrics.WetBulbStullC(20, 50), 0.05);

    // PsychroLib's own checks: 7 °C, 61 %, 1000 hPa, wet bulb 3.92667 °C (relative 1e-3); 25 °C, 80 %, dew point 21.3094 °C.
    [Fact]
    public void The_reference_librarys_own_checks_are_met()
    {
        Assert.Equal(3.92667, Psychrometrics.WetBulbThermodynamicC(7, 61, 1000), 0.004);
        Assert.Equal(21.3094, Psychrometrics.DewPointC(25, 80), 0.05);
    }

    // Computed independently from the WMO-No. 8 formulas, not published.
    [Fact]
    public void Dew_and_frost_points_match_hand_computed_ones()
    {
        Assert.Equal(9.2552, Psychrometrics.DewPointC(20, 50), 1e-4);
        Assert.Equal(21.3069, Psychrometrics.DewPointC(25, 80), 1e-4);
        Assert.Equal(-7.9174, Psychrometrics.DewPointC(-5, 80), 1e-4);
        Assert.Equal(-7.0141, Psychrometrics.FrostPointC(-5, 80)!.Value, 1e-4);
        Assert.Null(Psychrometrics.FrostPointC(20, 50));
        Assert.Equal(
            0.9516, Psychrometrics.SaturationOverIceHpa(-5) / Psychrometrics.SaturationOverWaterHpa(-5), 1e-4);
    }

    // Computed independently from the WMO-No. 8 psychrometer formula at 1013.25 hPa, not published.
    [Theory]
    [InlineData(10, 50, 5.5757)]
    [InlineData(20, 90, 18.8750)]
    [InlineData(30, 50, 22.0866)]
    public void The_psychrometers_wet_bulb_matches_a_hand_computed_one(double t, double rh, double wetBulbC) =>
        Assert.Equal(wetBulbC, Psychrometrics.WetBulbC(t, rh, 1013.25), 1e-4);
}
