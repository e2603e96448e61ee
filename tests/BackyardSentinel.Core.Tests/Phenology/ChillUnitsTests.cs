namespace BackyardSentinel.Tests.Phenology;

public class ChillUnitsTests
{
    private static readonly Gen<double> TemperatureC = Gen.Double[-40, 50];

    // Source: chillR 0.77 (an R package; values only) at and around every edge of its classes.
    [Fact]
    public void Every_edge_of_the_classes_lies_where_the_reference_package_has_it()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("hourly_response_table.csv"));
        Assert.True(rows.Count > 50);

        foreach (var row in rows)
        {
            var tempC = Number(row["T"]);
            Assert.Equal(Number(row["CH"]), ChillUnits.ChillingHour(tempC));
            Assert.Equal(Number(row["Utah"]), ChillUnits.Utah(tempC));
            Assert.Equal(Number(row["PosUtah"]), ChillUnits.PositiveUtah(tempC));
        }
    }

    // Source: chillR 0.77 on an invented half year and on a winter at Klein-Altendorf, hour by hour and summed up. Of the
    // second series the positive sum was added to the file by its compiler.
    [Theory]
    [InlineData("chill_gdh_synthetic_hourly.csv", 4320, 1508, 1792.5, 2128.5)]
    [InlineData("chill_gdh_klein_altendorf_2008_09_hourly.csv", 4344, 2123, 2017, 2146)]
    public void A_winters_sums_are_those_of_the_reference_package(
        string file,
        int hours,
        double chillingHours,
        double utah,
        double positiveUtah)
    {
        var path = OutsideData.Reference(file);
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var (count, ch, cu, pcu) = (0, 0.0, 0.0, 0.0);
        foreach (var row in OutsideData.Rows(path))
        {
            var tempC = Number(row["T"]);
            count++;
            ch += ChillUnits.ChillingHour(tempC);
            cu += ChillUnits.Utah(tempC);
            pcu += ChillUnits.PositiveUtah(tempC);
            Assert.Equal(Number(row["CH_cum"]), ch);
            Assert.Equal(Number(row["Utah_cum"]), cu);
            Assert.Equal(Number(row["PosUtah_cum"]), pcu);
        }

        Assert.Equal((hours, chillingHours, utah, positiveUtah), (count, ch, cu, pcu));
    }

    // Richardson, Seeley and Walker 1974: the classes of the Celsius table in steps of 0.1 °C; from memory.
    [Theory]
    [InlineData(1.4, 0)]
    [InlineData(1.5, 0.5)]
    [InlineData(2.4, 0.5)]
    [InlineData(2.5, 1)]
    [InlineData(9.1, 1)]
    [InlineData(9.2, 0.5)]
    [InlineData(12.4, 0.5)]
    [InlineData(12.5, 0)]
    [InlineData(15.9, 0)]
    [InlineData(16, -0.5)]
    [InlineData(18, -0.5)]
    [InlineData(18.1, -1)]
    public void The_published_classes_of_the_Utah_model_are_met(double tempC, double units) =>
        Assert.Equal(units, ChillUnits.Utah(tempC));

    [Fact]
    public void No_hour_counts_for_more_than_an_hour_and_the_positive_count_never_takes_away() =>
        TemperatureC.Sample(tempC =>
        {
            Assert.InRange(ChillUnits.Utah(tempC), -1, 1);
            Assert.InRange(ChillUnits.PositiveUtah(tempC), 0, 1);
            Assert.True(ChillUnits.PositiveUtah(tempC) >= ChillUnits.Utah(tempC));
            Assert.Equal(tempC >= 0 && tempC <= 7.2 ? 1 : 0, ChillUnits.ChillingHour(tempC));
        });

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(-100.1)]
    public void A_temperature_that_is_none_is_refused(double tempC)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => ChillUnits.ChillingHour(tempC));
        Assert.Throws<ArgumentOutOfRangeException>(() => ChillUnits.Utah(tempC));
        Assert.Throws<ArgumentOutOfRangeException>(() => ChillUnits.PositiveUtah(tempC));
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
