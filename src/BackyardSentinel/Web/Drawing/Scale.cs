namespace BackyardSentinel.Web.Drawing;

/// <summary>A scale of figures from the foot of a lane to its top.</summary>
/// <param name="Low">The figure at the foot.</param>
/// <param name="High">The figure at the top, higher.</param>
/// <param name="Step">From one mark to the next.</param>
internal readonly record struct Scale(double Low, double High, double Step)
{
    private static readonly double[] RainTops = [0.1, 0.2, 0.5, 1, 2, 3, 6, 10, 15, 20, 30, 50, 100, 200, 500, 1000];

    /// <summary>A scale with marks at round figures that holds what is shown.</summary>
    /// <param name="values">What is shown.</param>
    /// <param name="held">Figures that must be on it.</param>
    /// <param name="step">From one mark to the next; more where they would stand too close.</param>
    public static Scale Round(IEnumerable<double> values, IReadOnlyList<double> held, double step)
    {
        var all = values.Concat(held).ToList();
        var (low, high) = (all.Min(), all.Max());
        while ((high - low) / step > 7)
            step *= 2;
        return new Scale(Math.Floor(low / step) * step, Math.Max(Math.Floor(low / step) + 1, Math.Ceiling(high / step)) * step, step);
    }

    /// <summary>A scale from 0 for amounts of rain.</summary>
    /// <param name="most">The most that is shown.</param>
    /// <param name="least">The least top.</param>
    public static Scale Rain(double most, double least)
    {
        var top = RainTops.FirstOrDefault(one => one >= least && one >= most, RainTops[^1]);
        return new Scale(0, top, top);
    }

    /// <summary>Where a figure stands, px below the top of a lane.</summary>
    public double At(double value, double height) => Math.Clamp((High - value) / (High - Low), 0, 1) * height;

    /// <summary>The marks, from below.</summary>
    public IEnumerable<double> Marks()
    {
        for (var i = 0; Low + (i * Step) <= High + (Step / 1000); i++)
            yield return Low + (i * Step);
    }
}
