namespace BackyardSentinel.Tests.Phenology;

public class GrubbsTestTests
{
    // Source: critical values of G, the furthest value's distance from the mean in standard deviations, two-sided at 5 % (2.5 %
    // each side), Grubbs 1969, Technometrics 11:1-21, Table I; ASTM E178.
    [Theory]
    [InlineData(4, 1.481)]
    [InlineData(5, 1.715)]
    [InlineData(6, 1.887)]
    [InlineData(8, 2.126)]
    [InlineData(9, 2.215)]
    [InlineData(10, 2.290)]
    [InlineData(15, 2.549)]
    public void The_limit_is_that_of_the_published_table(int n, double critical)
    {
        Assert.Null(GrubbsTest.Outlying(Sample(n, critical - 0.001)));
        Assert.Equal(n - 1, GrubbsTest.Outlying(Sample(n, critical + 0.001)));
    }

    // Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1 (mass spectrometer data of Tietjen and Moore 1972).
    [Fact]
    public void The_worked_example_of_the_handbook_names_its_outlier() =>
        Assert.Equal(7, GrubbsTest.Outlying([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]));

    [Fact]
    public void Three_values_and_values_all_alike_name_none()
    {
        Assert.Null(GrubbsTest.Outlying([1, 1, 100]));
        Assert.Null(GrubbsTest.Outlying([4, 4, 4, 4]));
        Assert.Equal(1, GrubbsTest.Outlying([4, 5, 4, 4]));
    }

    /// <summary>Values whose last lies so many standard deviations of them all from their mean.</summary>
    private static double[] Sample(int n, double g)
    {
        // Of the others half lie at -1 and half at 1, so that the last alone decides.
        double[] others = [.. Enumerable.Range(0, n - 1).Select(i => (n - 1) % 2 == 1 && i == n - 2 ? 0 : i % 2 == 0 ? -1.0 : 1.0)];
        var (low, high) = (0.0, 1e6);
        for (var i = 0; i < 200; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = G([.. others, middle]) < g ? (middle, high) : (low, middle);
        }

        return [.. others, low];
    }

    private static double G(double[] values)
    {
        var mean = values.Average();
        return (values[^1] - mean) / Math.Sqrt(values.Sum(value => (value - mean) * (value - mean)) / (values.Length - 1));
    }
}
