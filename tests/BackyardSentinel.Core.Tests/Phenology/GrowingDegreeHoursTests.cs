namespace BackyardSentinel.Tests.Phenology;

public class GrowingDegreeHoursTests
{
    // Source: chillR 0.77 (an R package; values only); the linear column by the compiler of the table.
    [Fact]
    public void Single_hours_agree_with_the_reference_package()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("hourly_response_table.csv"));
        Assert.True(rows.Count > 50);

        foreach (var row in rows)
        {
            Assert.Equal(Number(row["GDH"]), GrowingDegreeHours.Asymcur(Number(row["T"])), 1e-9);
            Assert.Equal(Number(row["GDHlin"]), GrowingDegreeHours.Linear45(Number(row["T"])), 1e-9);
        }
    }

    // Source: chillR 0.77 on an invented half year, a winter at Klein-Altendorf and a year of normals of Seattle.
    [Theory]
    [InlineData("chill_gdh_synthetic_hourly.csv", 18382.629960)]
    [InlineData("chill_gdh_klein_altendorf_2008_09_hourly.csv", 7837.634782)]
    [InlineData("chill_gdh_seattle_normals_hourly.csv", 57313.83933)]
    public void A_seasons_sum_is_that_of_the_reference_package(string file, double total)
    {
        var path = OutsideData.Reference(file);
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var (sum, linear) = (0.0, 0.0);
        foreach (var row in OutsideData.Rows(path))
        {
            sum += GrowingDegreeHours.Asymcur(Number(row["T"]));
            linear += GrowingDegreeHours.Linear45(Number(row["T"]));
            Assert.Equal(Number(row["GDH_cum"]), sum, 1e-5);
            if (row.TryGetValue("GDHlin_cum", out var expected))
                Assert.Equal(Number(expected), linear, 1e-3);
        }

        Assert.Equal(total, sum, 1e-4);
    }

    // Source: fruclimadapt 0.4.5 (an R package; values only) gives the degree-hours of days above 4.7 °C at Tudela from
    // curves of its own. Summed here without a curve, a day that stays above the base has 24 times (its mean - 4.7), and
    // its curves' means lie within 1.5 °C of half-way between the extremes (assumed).
    [Fact]
    public void Warm_days_at_Tudela_have_about_the_degree_hours_above_4_7()
    {
        var path = OutsideData.Reference("tudela_daily_chill_heat.csv");
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var warm = OutsideData.Rows(path).Where(row => Number(row["Tmin"]) > 8).ToList();
        Assert.True(warm.Count > 300);

        foreach (var row in warm)
        {
            var middleC = (Number(row["Tmin"]) + Number(row["Tmax"])) / 2;
            Assert.Equal(Number(row["GDHlin47_day"]) / 24, GrowingDegreeHours.Linear47(middleC), 1.5);
        }
    }

    // Anderson, Richardson and Kesner 1986, the curve's anchors: nothing at 4 °C, half the height half-way, the whole 21
    // at 25 °C, nothing at 36 °C. The two others: common practice as their names say.
    [Fact]
    public void The_anchors_of_the_functions_are_met()
    {
        Assert.Equal(0, GrowingDegreeHours.Asymcur(4));
        Assert.Equal(10.5, GrowingDegreeHours.Asymcur(14.5), 1e-12);
        Assert.Equal(21, GrowingDegreeHours.Asymcur(25), 1e-12);
        Assert.Equal(0, GrowingDegreeHours.Asymcur(36));
        Assert.Equal(0, GrowingDegreeHours.Linear45(4.5));
        Assert.Equal(20.5, GrowingDegreeHours.Linear45(40));
        Assert.Equal(0, GrowingDegreeHours.Linear47(4.7));
        Assert.Equal(25.3, GrowingDegreeHours.Linear47(30), 1e-12);
    }

    [Fact]
    public void The_choice_by_name_is_the_function_itself() =>
        Gen.Double[-40, 50].Sample(tempC =>
        {
            Assert.Equal(GrowingDegreeHours.Asymcur(tempC), GrowingDegreeHours.Of(HeatFunction.Asymcur, tempC));
            Assert.Equal(GrowingDegreeHours.Linear45(tempC), GrowingDegreeHours.Of(HeatFunction.Linear45, tempC));
            Assert.Equal(GrowingDegreeHours.Linear47(tempC), GrowingDegreeHours.Of(HeatFunction.Linear47, tempC));
        });

    [Fact]
    public void Up_to_25_degrees_warmer_never_counts_less_and_nothing_counts_below_zero() =>
        Gen.Select(Gen.Enum<HeatFunction>(), Gen.Double[-40, 25], Gen.Double[0, 5]).Sample((function, tempC, step) =>
        {
            var (cool, warm) = (GrowingDegreeHours.Of(function, tempC), GrowingDegreeHours.Of(function, Math.Min(25, tempC + step)));
            Assert.True(cool >= 0);
            Assert.True(warm >= cool);
        });

    [Fact]
    public void A_temperature_that_is_none_or_a_function_that_is_none_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => GrowingDegreeHours.Asymcur(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => GrowingDegreeHours.Linear45(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => GrowingDegreeHours.Linear47(double.NaN));
        Assert.Throws<System.Runtime.CompilerServices.SwitchExpressionException>(() => GrowingDegreeHours.Of((HeatFunction)9, 10));
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
