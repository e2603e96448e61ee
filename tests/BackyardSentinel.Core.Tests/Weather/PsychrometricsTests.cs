using BackyardSentinel.Tests.Reference;

namespace BackyardSentinel.Tests.Weather;

public class PsychrometricsTests
{
    private static readonly Gen<double> TemperatureC = Gen.Double[-45, 60];
    private static readonly Gen<double> HumidityPct = Gen.Double[0.1, 100];

    // Source: PsychroLib (MIT). It counts humidity over ice up to the triple point, and its dew point below it is a
    // frost point, so only warm rows are compared, and only dew points above it.
    [Fact]
    public void Pressures_and_dew_points_agree_with_the_reference_library_within_the_error_of_the_Magnus_form()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("psychro_grid_psychrolib.csv")).Where(row => Number(row["T_C"]) is > 0.01).ToList();
        Assert.True(rows.Count > 300);

        foreach (var row in rows)
        {
            var (t, rh) = (Number(row["T_C"]), Number(row["RH_pct"]));
            var (es, e, vpd) = (Number(row["es_Pa"]) / 100, Number(row["e_Pa"]) / 100, Number(row["vpd_Pa"]) / 100);
            Assert.Equal(es, Psychrometrics.SaturationOverWaterHpa(t), es * 3e-3);
            Assert.Equal(e, Psychrometrics.VapourPressureHpa(t, rh), (e * 3e-3) + 1e-6);
            Assert.Equal(vpd, Psychrometrics.VapourPressureDeficitHpa(t, rh), (vpd * 3e-3) + 1e-6);
            var expectedC = Number(row["Tdew_C"]);
            if (rh >= 20 && expectedC >= 0.01)
                Assert.Equal(expectedC, Psychrometrics.DewPointC(t, rh), 0.05);
        }
    }

    // Source: PsychroLib (MIT), a bisection to 0.001 °C on adiabatic saturation. In cold rows its humidity is over ice
    // and is turned into ours first.
    [Fact]
    public void The_wet_bulb_that_ours_is_checked_by_agrees_with_the_reference_library()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("psychro_grid_psychrolib.csv"));
        Assert.True(rows.Count > 500);

        foreach (var row in rows)
        {
            var (t, p, expectedC) = (Number(row["T_C"]), Number(row["P_Pa"]) / 100, Number(row["Twet_C"]));
            var overWaterPct = Number(row["e_Pa"]) / HylandWexler.OverWaterHpa(t);
            Assert.Equal(expectedC, HylandWexler.WetBulbC(t, overWaterPct, p), 0.002);
        }
    }

    // Source: the same table; a psychrometer's wet bulb differs from the thermodynamic one by up to 0.23 °C.
    [Fact]
    public void Delta_T_agrees_with_the_reference_library_within_the_difference_of_the_two_wet_bulbs()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("psychro_grid_psychrolib.csv"))
            .Where(row => Number(row["T_C"]) > 0 && Number(row["RH_pct"]) >= 20 && Number(row["Twet_C"]) > 0).ToList();
        Assert.True(rows.Count > 200);

        foreach (var row in rows)
        {
            var deltaTC = Psychrometrics.DeltaTC(
                Number(row["T_C"]), Number(row["RH_pct"]), Number(row["P_Pa"]) / 100);
            Assert.Equal(Number(row["deltaT_C"]), deltaTC, 0.25);
        }
    }

    // Source: ASHRAE 2017 by way of Hyland and Wexler, see the class. The differences are those the docs of ours name.
    [Fact]
    public void The_pressure_over_water_and_the_wet_bulb_stay_near_those_of_Hyland_and_Wexler() =>
        Gen.Select(Gen.Double[0, 45], Gen.Double[20, 100], Gen.Double[700, 1050]).Sample((t, rh, p) =>
        {
            var overWater = HylandWexler.OverWaterHpa(t);
            Assert.Equal(overWater, Psychrometrics.SaturationOverWaterHpa(t), overWater * 3e-3);
            var wetBulbC = HylandWexler.WetBulbC(t, rh, p);
            if (wetBulbC > 0)
                Assert.InRange(Psychrometrics.WetBulbC(t, rh, p), wetBulbC - 0.05, wetBulbC + 0.25);
        });

    // Source: an independent re-implementation from the equation of WMO-No. 8, six decimals.
    [Fact]
    public void The_pressure_over_water_agrees_with_an_independent_computation()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("satvap_formulas_hPa.csv")).Where(row => row["w_wmo8_magnus"].Length > 0).ToList();
        Assert.True(rows.Count >= 10);

        foreach (var row in rows)
        {
            var expected = Number(row["w_wmo8_magnus"]);
            // Relative 1e-6, and half of the last printed digit.
            Assert.Equal(expected, Psychrometrics.SaturationOverWaterHpa(Number(row["T_C"])), (expected * 1e-6) + 5.1e-7);
        }
    }

    // Source: an independent computation of the WMO-No. 8 formulas.
    [Fact]
    public void Dew_point_and_wet_bulb_agree_with_an_independent_computation()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("wetbulb_dewpoint_compare.csv"));
        Assert.True(rows.Count > 800);

        foreach (var row in rows)
        {
            var (t, rh, p) = (Number(row["T_C"]), Number(row["RH_pct"]), Number(row["P_hPa"]));
            Assert.Equal(Number(row["e_WMO_Pa"]) / 100, Psychrometrics.VapourPressureHpa(t, rh), 1e-6);
            Assert.Equal(Number(row["Td_WMO"]), Psychrometrics.DewPointC(t, rh), 5e-4);
            Assert.Equal(Number(row["Tw_WMO"]), Psychrometrics.WetBulbC(t, rh, p), 5e-4);
        }
    }

    // Source: PsychroLib (MIT) for the standard atmosphere.
    [Fact]
    public void Station_pressure_agrees_with_the_reference_library()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("pressure_altitude.csv"));
        Assert.True(rows.Count > 10);

        foreach (var row in rows)
        {
            var z = Number(row["z_m"]);
            Assert.Equal(Number(row["P_Pa_psychrolib"]) / 100, Psychrometrics.StationPressureHpa(z), 0.01);
        }
    }

    [Fact]
    public void The_dew_point_gives_back_the_vapour_pressure_it_came_from() =>
        Gen.Select(TemperatureC, HumidityPct).Sample((t, rh) =>
        {
            var e = Psychrometrics.VapourPressureHpa(t, rh);
            Assert.Equal(e, Psychrometrics.SaturationOverWaterHpa(Psychrometrics.DewPointC(t, rh)), e * 1e-9);
            Assert.Equal(Psychrometrics.DewPointC(t, rh), Psychrometrics.DewPointC(e), 1e-9);
        });

    [Fact]
    public void The_dew_point_rises_with_humidity_and_with_temperature() =>
        Gen.Select(TemperatureC, HumidityPct, Gen.Double[0.01, 5]).Sample((t, rh, step) =>
        {
            var dewPointC = Psychrometrics.DewPointC(t, rh);
            Assert.True(Psychrometrics.DewPointC(t + step, rh) > dewPointC);
            if (rh + step <= 100)
                Assert.True(Psychrometrics.DewPointC(t, rh + step) > dewPointC);
        });

    [Fact]
    public void Saturated_air_has_its_own_temperature_as_dew_point_and_wet_bulb() =>
        TemperatureC.Sample(t =>
        {
            Assert.Equal(t, Psychrometrics.DewPointC(t, 100));
            Assert.Equal(t, Psychrometrics.DewPointC(t, 103));
            Assert.Equal(t, Psychrometrics.WetBulbC(t, 100, 1013.25), 1e-9);
            Assert.Equal(0, Psychrometrics.VapourPressureDeficitHpa(t, 103), 1e-12);
        });

    [Fact]
    public void The_wet_bulb_lies_between_dew_point_and_air_temperature() =>
        Gen.Select(TemperatureC, HumidityPct, Gen.Double[700, 1050]).Sample((t, rh, p) =>
        {
            var wetBulbC = Psychrometrics.WetBulbC(t, rh, p);
            Assert.InRange(wetBulbC, Psychrometrics.DewPointC(t, rh), t);
            Assert.True(Psychrometrics.DeltaTC(t, rh, p) >= 0);
        });

    [Fact]
    public void Humidity_without_any_vapour_counts_as_a_tenth_of_a_percent() =>
        Assert.Equal(Psychrometrics.DewPointC(20, 0.1), Psychrometrics.DewPointC(20, -3));

    [Fact]
    public void A_value_that_cannot_be_is_refused_by_name()
    {
        Refused("temperatureC", () => Psychrometrics.SaturationOverWaterHpa(double.NaN));
        Refused("temperatureC", () => Psychrometrics.DewPointC(100.1, 50));
        Refused("humidityPct", () => Psychrometrics.DewPointC(20, double.NaN));
        Refused("vapourPressureHpa", () => Psychrometrics.DewPointC(0.0));
        Refused("pressureHpa", () => Psychrometrics.WetBulbC(20, 50, 101_325));
        Refused("altitudeM", () => Psychrometrics.StationPressureHpa(double.NaN));
        Refused("altitudeM", () => Psychrometrics.StationPressureHpa(20_000));
    }

    private static void Refused(string parameter, Func<object> act) =>
        Assert.Throws<ArgumentOutOfRangeException>(parameter, act);

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
