using System.Globalization;
using BackyardSentinel.Phenology;
using CsCheck;
using Xunit;

namespace BackyardSentinel.Tests.Phenology;

public class DegreeDaysTests
{
    private static readonly Gen<(double Min, double Max)> Day =
        Gen.Select(Gen.Double[-20, 30], Gen.Double[0, 25]).Select((min, swing) => (min, min + swing));

    // Source: Zalom and others 1983, table 7 (°F, thresholds 55 and 90, two decimals), as shipped with the tests of
    // degday (an R package). Its equations know no unit, so the table is taken in °F, less 32 to stay in our range.
    [Fact]
    public void The_published_table_is_met()
    {
        var path = OutsideData.Reference("degree_days_zalom83.csv");
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var rows = OutsideData.Rows(path);
        Assert.Equal(12, rows.Count);

        foreach (var row in rows)
        {
            var (min, max, next) = (Number(row["temp_min"]) - 32, Number(row["temp_max"]) - 32, Number(row["temp_nextmin"]) - 32);
            Assert.Equal(Number(row["sng_sine"]), DegreeDays.SingleSine(min, max, 23, 58), 0.005);
            Assert.Equal(Number(row["dbl_sine"]), DegreeDays.DoubleSine(min, max, next, 23, 58), 0.005);
            Assert.Equal(Number(row["calc_sng_sine"]), DegreeDays.SingleSine(min, max, 23, 58), 1e-6);
            Assert.Equal(Number(row["calc_dbl_sine"]), DegreeDays.DoubleSine(min, max, next, 23, 58), 1e-6);
        }
    }

    // Source: a program in another language written from the same equations, and a numerical integral of the sine.
    [Fact]
    public void The_set_in_Celsius_is_met_also_where_maximum_and_minimum_are_the_same()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("degree_days_celsius.csv"));
        Assert.Contains(rows, row => row["tmin"] == row["tmax"]);

        foreach (var row in rows)
        {
            var (min, max, lower, upper) = (Number(row["tmin"]), Number(row["tmax"]), Number(row["lower"]), Number(row["upper"]));
            Assert.Equal(Number(row["single_sine"]), DegreeDays.SingleSine(min, max, lower, upper), 1e-6);
            Assert.Equal(Number(row["double_sine"]), DegreeDays.DoubleSine(min, max, Number(row["nextmin"]), lower, upper), 1e-6);
            Assert.Equal(Number(row["num_sine"]), DegreeDays.SingleSine(min, max, lower, upper), 1e-6);
        }
    }

    // Source: the integral of a sine over its upper half is its swing over pi: 5 to 15 °C above 10 °C gives 5/pi.
    [Fact]
    public void Half_a_sine_above_the_threshold_gives_its_swing_over_pi() =>
        Assert.Equal(5 / Math.PI, DegreeDays.SingleSine(5, 15, 10, 30), 1e-12);

    // Source: mathematics: the equations are the integral of the cut sine, so adding up many points of it must agree.
    [Fact]
    public void The_single_sine_is_the_cut_sine_added_up() =>
        Gen.Select(Day, Gen.Double[-5, 15], Gen.Double[1, 25])
            .Sample(
                (day, lower, span) =>
                {
                    var points = new double[4000];
                    for (var i = 0; i < points.Length; i++)
                        points[i] =
                            ((day.Min + day.Max) / 2) + ((day.Max - day.Min) / 2 * Math.Sin(2 * Math.PI * (i + 0.5) / points.Length));
                    Assert.Equal(
                        DegreeDays.Integrated(points, lower, lower + span),
                        DegreeDays.SingleSine(day.Min, day.Max, lower, lower + span),
                        1e-4);
                },
                iter: 500);

    [Theory]
    [InlineData(5, 0)]
    [InlineData(10, 0)]
    [InlineData(10.5, 0.5)]
    [InlineData(20, 10)]
    [InlineData(30, 20)]
    [InlineData(35, 20)]
    public void A_day_of_one_temperature_counts_as_that_temperature(double tempC, double degreeDays)
    {
        Assert.Equal(degreeDays, DegreeDays.SingleSine(tempC, tempC, 10, 30));
        Assert.Equal(degreeDays, DegreeDays.DoubleSine(tempC, tempC, tempC, 10, 30));
        Assert.Equal(degreeDays, DegreeDays.Integrated([tempC, tempC], 10, 30));
    }

    [Fact]
    public void Warmer_never_counts_less_and_no_day_counts_more_than_the_thresholds_span() =>
        Gen.Select(Day, Gen.Double[0, 3], Gen.Double[0, 3]).Sample((day, warmerMin, warmerMax) =>
        {
            var count = DegreeDays.SingleSine(day.Min, day.Max, 5, 25);
            var warmer = DegreeDays.SingleSine(day.Min + Math.Min(warmerMin, warmerMax), day.Max + warmerMax, 5, 25);
            Assert.InRange(count, 0, 20 + 1e-12);
            Assert.True(warmer >= count - 1e-12);
        });

    [Fact]
    public void A_night_that_warms_above_the_days_maximum_counts_as_a_rise() =>
        Assert.Equal(
            (DegreeDays.SingleSine(2, 8, 4, 30) + DegreeDays.SingleSine(8, 11, 4, 30)) / 2,
            DegreeDays.DoubleSine(2, 8, 11, 4, 30),
            1e-12);

    [Fact]
    public void Input_that_cannot_be_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => DegreeDays.SingleSine(10, 9, 5, 25));
        Assert.Throws<ArgumentOutOfRangeException>(() => DegreeDays.SingleSine(double.NaN, 9, 5, 25));
        Assert.Throws<ArgumentOutOfRangeException>(() => DegreeDays.SingleSine(1, 9, 25, 25));
        Assert.Throws<ArgumentOutOfRangeException>(() => DegreeDays.DoubleSine(1, 9, double.NaN, 5, 25));
        Assert.Throws<ArgumentOutOfRangeException>(() => DegreeDays.Integrated([], 5, 25));
        Assert.Throws<ArgumentOutOfRangeException>(() => DegreeDays.Integrated([1, double.NaN], 5, 25));
        Assert.Throws<ArgumentOutOfRangeException>(() => DegreeDays.Integrated([1], double.NaN, 25));
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
