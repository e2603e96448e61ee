namespace BackyardSentinel.Tests.Phenology;

public class DynamicModelTests
{
    private static readonly Gen<double[]> GenWinter = Gen.Double[-15, 25].Array[1, 600];

    // Source: chillR 0.77 (an R package; values only): an invented half year, a winter at Klein-Altendorf, and a year of
    // hourly normals of Seattle. It writes each hour one row later and never uses the last temperature: our hour is its next row.
    [Theory]
    [InlineData("chill_gdh_synthetic_hourly.csv", 4320, 102.2509178858)]
    [InlineData("chill_gdh_klein_altendorf_2008_09_hourly.csv", 4344, 111.3415209429)]
    [InlineData("chill_gdh_seattle_normals_hourly.csv", 8759, 171.7935073518)]
    public void Every_hour_of_a_winter_agrees_with_the_reference_package(string file, int hours, double total)
    {
        var path = OutsideData.Reference(file);
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var rows = OutsideData.Rows(path);
        Assert.Equal(hours, rows.Count);

        var model = new DynamicModel();
        for (var i = 0; i + 1 < rows.Count; i++)
        {
            var portion = model.Add(Number(rows[i]["T"]));
            Assert.Equal(Number(rows[i + 1]["CP_h"]), portion, 1e-8);
            Assert.Equal(Number(rows[i + 1]["CP_cum"]), model.Portions, 1e-8);
            Assert.Equal(Number(rows[i + 1]["x_after"]), model.Intermediate, 1e-8);
        }

        Assert.Equal(total, model.Portions, 1e-8);
    }

    // Source: chillR 0.77 at constant temperatures from -2 to 15 °C: its rates, its first portion (one row late), its sums.
    [Fact]
    public void Constant_temperatures_agree_with_the_reference_package()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("dynamic_model_constant_temperature.csv"));
        Assert.Equal(18, rows.Count);

        foreach (var row in rows)
        {
            var tempC = Number(row["T"]);
            var model = new DynamicModel();
            int? firstHour = null;
            for (var hour = 1; hour <= 2000; hour++)
            {
                var portion = model.Add(tempC);
                if (hour == 1)
                {
                    var expected = Number(row["xs"]) * (1 - Math.Exp(-Number(row["k1"])));
                    Assert.Equal(expected, model.Intermediate, 1e-10);
                }

                if (portion > 0 && firstHour is null)
                {
                    firstHour = hour;
                    Assert.Equal(Number(row["xi"]), portion / (portion + model.Intermediate), 1e-10);
                }

                if (hour is 500 or 1000 or 2000)
                    Assert.Equal(Number(row[$"CP_after_{hour}"]), model.Portions, 1e-8);
            }

            Assert.Equal(row["first_portion_row"], firstHour is { } first ? $"{first + 1}" : "NA");
        }
    }

    // Source: a program in another language written from the published equations alone, state by state.
    [Fact]
    public void The_state_of_sixty_hours_agrees_with_an_independent_program()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("dynamic_model_trace.csv"));
        Assert.Equal(60, rows.Count);

        var model = new DynamicModel();
        foreach (var row in rows)
        {
            var portion = model.Add(Number(row["T_C"]));
            Assert.Equal(Number(row["portion"]), portion, 1e-10);
            Assert.Equal(Number(row["x_before"]), portion + model.Intermediate, 1e-10);
            Assert.Equal(Number(row["x_after"]), model.Intermediate, 1e-10);
            Assert.Equal(Number(row["CP_cum"]), model.Portions, 1e-10);
        }
    }

    // Source: the model's differential equation solved in closed form. Rates of 6 °C worked out by hand from the published
    // constants: x after n hours is 2.15086330957 (1 - exp(-0.0222114758202 n)), and passes 1 in the 29th.
    [Fact]
    public void At_six_degrees_the_first_portion_comes_in_the_29th_hour()
    {
        var model = new DynamicModel();
        for (var hour = 1; hour < 29; hour++)
        {
            Assert.Equal(0, model.Add(6));
            Assert.Equal(2.15086330957 * (1 - Math.Exp(-0.0222114758202 * hour)), model.Intermediate, 1e-10);
        }

        Assert.Equal(0.980511620878, model.Add(6), 1e-10);
        Assert.Equal(0.0408952355343, model.Intermediate, 1e-10);
    }

    // Source: Erez and Couvillon 1987 (J. Am. Soc. Hortic. Sci. 112, 677–680), from memory: about 6 to 8 °C chill best,
    // 13 °C and more not at all.
    [Fact]
    public void About_seven_degrees_chill_best_and_thirteen_not_at_all()
    {
        var portions = Enumerable.Range(0, 16).Select(tempC => Constant(tempC, 2000)).ToList();

        Assert.InRange(portions.IndexOf(portions.Max()), 6, 8);
        Assert.All(portions.Take(13), sum => Assert.True(sum > 0));
        Assert.All(portions.Skip(13), sum => Assert.Equal(0, sum));
    }

    // Source: the model's idea as published: heat undoes what is not yet fixed, and never what is.
    [Fact]
    public void Warmth_destroys_the_intermediate_but_no_portion()
    {
        var model = new DynamicModel();
        for (var hour = 0; hour < 50; hour++)
            model.Add(6);
        var (portions, intermediate) = (model.Portions, model.Intermediate);
        for (var hour = 0; hour < 24; hour++)
            model.Add(24);

        Assert.InRange(model.Intermediate, 0, intermediate / 2);
        Assert.Equal(portions, model.Portions);
    }

    [Fact]
    public void Portions_are_never_negative_and_sum_up_to_what_was_returned() =>
        GenWinter.Sample(winter =>
        {
            var model = new DynamicModel();
            var sum = 0.0;
            foreach (var tempC in winter)
            {
                var portion = model.Add(tempC);
                Assert.True(portion >= 0);
                Assert.True(model.Intermediate >= 0);
                sum += portion;
            }

            Assert.Equal(sum, model.Portions);
        }, iter: 200);

    // The step of one hour is part of the model: this is why its comment forbids shorter ones.
    [Fact]
    public void The_same_winter_told_in_quarter_hours_would_count_too_much()
    {
        var (hourly, quarterly) = (new DynamicModel(), new DynamicModel());
        for (var hour = 0; hour < 2000; hour++)
        {
            var tempC = 3 + (3 * Math.Sin(Math.PI * hour / 12));
            hourly.Add(tempC);
            for (var quarter = 0; quarter < 4; quarter++)
                quarterly.Add(tempC);
        }

        Assert.True(quarterly.Portions > hourly.Portions * 1.02);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.NegativeInfinity)]
    [InlineData(101)]
    public void A_temperature_that_is_none_is_refused_and_changes_nothing(double tempC)
    {
        var model = new DynamicModel();
        for (var hour = 0; hour < 40; hour++)
            model.Add(5);
        var before = (model.Portions, model.Intermediate);

        Assert.Throws<ArgumentOutOfRangeException>(() => model.Add(tempC));
        Assert.Equal(before, (model.Portions, model.Intermediate));
    }

    private static double Constant(double tempC, int hours)
    {
        var model = new DynamicModel();
        for (var hour = 0; hour < hours; hour++)
            model.Add(tempC);
        return model.Portions;
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
