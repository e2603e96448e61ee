namespace BackyardSentinel.Phenology;

/// <summary>
/// The test for one outlying value among few that scatter normally, two-sided at 5 %. Each value is set against the mean and
/// scatter of the others: its residual when it is left out, studentized, is Student's t with n − 2 degrees of freedom, and the
/// chance is counted n times as any of them might have been the odd one (which is Grubbs' own statistic in another form).
/// Source: Grubbs 1969, Technometrics 11:1–21; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1.
/// </summary>
public static class GrubbsTest
{
    /// <summary>Values that it takes. With three any would pass or none: two cannot show a scatter. Assumed.</summary>
    public const int LeastValues = 4;

    /// <summary>A value is outlying below this chance.</summary>
    public const double Significance = 0.05;

    /// <summary>The value that does not belong to the others, by its place; <c>null</c>: none, or too few to tell.</summary>
    /// <param name="values">The values.</param>
    public static int? Outlying(IReadOnlyList<double> values)
    {
        if (values.Count < LeastValues)
            return null;
        var mean = values.Average();
        var (_, furthest) = values.Select((value, i) => (Math.Abs(value - mean), i)).Max();
        return Chance(values, furthest) < Significance ? furthest : null;
    }

    /// <summary>The chance, 0–1, that among so many values the furthest lies so far from the others.</summary>
    /// <param name="values">Three values or more.</param>
    /// <param name="i">The place of the furthest.</param>
    public static double Chance(IReadOnlyList<double> values, int i)
    {
        var others = values.Where((_, j) => j != i).ToList();
        var mean = others.Average();
        var variance = others.Sum(value => (value - mean) * (value - mean)) / (others.Count - 1);
        var residual = Math.Abs(values[i] - mean);
        // Where the others are all alike any residual is too much.
        if (residual == 0)
            return 1;
        var t = residual / Math.Sqrt(variance * values.Count / others.Count);
        return Math.Min(1, values.Count * TwoTails(t, values.Count - 2));
    }

    /// <summary>
    /// Both tails of Student's t beyond a value, by the finite series for whole degrees of freedom.
    /// Source: Abramowitz and Stegun 1964, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.
    /// </summary>
    private static double TwoTails(double t, int freedom)
    {
        var angle = Math.Atan(t / Math.Sqrt(freedom));
        var (sine, cosine) = Math.SinCos(angle);
        var odd = freedom % 2;
        // The terms: 1, 1/2 cos², 1·3/2·4 cos⁴ … for even freedom; cos, 2/3 cos³, 2·4/3·5 cos⁵ … for odd.
        double sum = 0, term = odd == 1 ? cosine : 1;
        for (var power = odd; power <= freedom - 2; power += 2)
        {
            sum += term;
            term *= cosine * cosine * (power + 1) / (power + 2);
        }

        return 1 - (odd == 1 ? 2 / Math.PI * (angle + (sine * sum)) : sine * sum);
    }
}
