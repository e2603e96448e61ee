using System.Globalization;
using BackyardSentinel.Weather;
using Xunit;

namespace BackyardSentinel.Tests.Weather;

public class SaturationVapourPressureTests
{
    private static readonly (string Column, Func<double, double> Formula)[] Formulas =
    [
        ("w_sonntag90", SaturationVapourPressure.WaterSonntag1990Hpa),
        ("w_wmo8_magnus", Psychrometrics.SaturationOverWaterHpa),
        ("w_buck81_simple", SaturationVapourPressure.WaterBuck1981Hpa),
        ("w_buck81_w4", SaturationVapourPressure.WaterBuck1981Ew4Hpa),
        ("w_buck96", SaturationVapourPressure.WaterBuck1996Hpa),
        ("w_hyland_wexler", SaturationVapourPressure.WaterHylandWexler1983Hpa),
        ("w_iapws_wagner_pruss", SaturationVapourPressure.WaterIapws1992Hpa),
        ("w_murphy_koop", SaturationVapourPressure.WaterMurphyKoop2005Hpa),
        ("w_fao56_tetens", SaturationVapourPressure.WaterFao56Hpa),
        ("w_alduchov_eskridge", SaturationVapourPressure.WaterAlduchovEskridge1996Hpa),
        ("w_bolton80", SaturationVapourPressure.WaterBolton1980Hpa),
        ("i_sonntag90", SaturationVapourPressure.IceSonntag1990Hpa),
        ("i_wmo8_magnus", Psychrometrics.SaturationOverIceHpa),
        ("i_buck81", SaturationVapourPressure.IceBuck1981Hpa),
        ("i_buck96", SaturationVapourPressure.IceBuck1996Hpa),
        ("i_hyland_wexler", SaturationVapourPressure.IceHylandWexler1983Hpa),
        ("i_iapws_subl", SaturationVapourPressure.IceIapws2008Hpa),
        ("i_murphy_koop", SaturationVapourPressure.IceMurphyKoop2005Hpa),
    ];

    public static TheoryData<string> Columns => [.. Formulas.Select(formula => formula.Column)];

    // Source: an independent re-implementation from the published equations, six decimals.
    [Theory]
    [MemberData(nameof(Columns))]
    public void Every_formula_agrees_with_an_independent_computation(string column)
    {
        var path = OutsideData.Carried("satvap_formulas_hPa.csv");
        var formula = Formulas.Single(entry => entry.Column == column).Formula;
        var checkedRows = 0;

        foreach (var row in OutsideData.Rows(path).Where(row => row[column].Length > 0))
        {
            var expected = Number(row[column]);
            // Relative 1e-6, and half of the last printed digit.
            Assert.Equal(expected, formula(Number(row["T_C"])), (expected * 1e-6) + 5.1e-7);
            checkedRows++;
        }

        Assert.True(checkedRows >= 10);
    }

    // Source: PsychroLib (MIT), which follows ASHRAE 2017: ice up to the triple point, water above; Pa.
    [Fact]
    public void Hyland_Wexler_agrees_with_the_reference_library_over_ice_and_water()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("satvap_psychrolib.csv"));
        Assert.True(rows.Count > 150);

        foreach (var row in rows)
        {
            var t = Number(row["T_C"]);
            var expectedHpa = Number(row["es_Pa"]) / 100;
            var hpa = t <= 0.01
                ? SaturationVapourPressure.IceHylandWexler1983Hpa(t)
                : SaturationVapourPressure.WaterHylandWexler1983Hpa(t);
            Assert.Equal(expectedHpa, hpa, expectedHpa * 1e-6);
            if (t > 0.01)
                Assert.Equal(expectedHpa, Psychrometrics.SaturationOverWaterHpa(t), expectedHpa * 3e-3);
        }
    }

    // Source: FAO-56 annex 2, table 2.3, computed independently from eq. 11 and rounded as printed; kPa.
    [Fact]
    public void The_FAO_formula_agrees_with_table_2_3()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("fao56_table2_3.csv"));
        Assert.True(rows.Count > 90);

        foreach (var row in rows)
            Assert.Equal(
                Number(row["e0_kPa"]), SaturationVapourPressure.WaterFao56Hpa(Number(row["T_C"])) / 10, 0.000501);
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
