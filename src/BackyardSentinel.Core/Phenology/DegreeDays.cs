using BackyardSentinel.Weather;
using static System.Math;

namespace BackyardSentinel.Phenology;

/// <summary>
/// Degree-days of one day between a lower and an upper threshold (horizontal cutoff: above the upper one a degree more
/// adds nothing). Zalom, Goodell, Wilson, Barnett and Bentley 1983 (a university leaflet on calculating degree-days),
/// whose equations are given here for °C; thresholds in °F are converted by the whole formula, sums in °F·day by 5/9.
/// With readings every 15 minutes or oftener use <see cref="Integrated"/>; the sines are for days of which only the
/// extremes are known. Thresholds that are not rising, a maximum below its minimum, NaN or a temperature outside -100 to
/// 100 °C throw <see cref="ArgumentOutOfRangeException"/>.
/// </summary>
public static class DegreeDays
{
    /// <summary>
    /// One sine through the day's extremes, the source's choice where nothing speaks for another. °C·day, 0 to upper − lower.
    /// </summary>
    /// <param name="minC">The day's minimum, °C.</param>
    /// <param name="maxC">The day's maximum, °C; at least the minimum.</param>
    /// <param name="lower">Lower threshold, °C.</param>
    /// <param name="upper">Upper threshold, °C; above the lower one.</param>
    public static double SingleSine(double minC, double maxC, double lower, double upper)
    {
        Psychrometrics.RequireTemperature(minC);
        Psychrometrics.RequireTemperature(maxC);
        RequireThresholds(lower, upper);
        if (maxC < minC)
            throw new ArgumentOutOfRangeException(nameof(maxC), maxC, "A day's maximum must not lie below its minimum.");

        // The first two also catch a day of one temperature at or beyond a threshold.
        if (minC >= upper)
            return upper - lower;
        if (maxC <= lower)
            return 0;
        var mean = (minC + maxC) / 2;
        if (minC >= lower && maxC <= upper)
            return mean - lower;

        // The sine is below the lower threshold up to one angle and above the upper one from another; where it never is,
        // the angle is the quarter turn at which the sine has its extreme.
        var swing = (maxC - minC) / 2;
        var rise = minC >= lower ? -PI / 2 : Asin((lower - mean) / swing);
        var cut = maxC <= upper ? PI / 2 : Asin((upper - mean) / swing);
        return (((mean - lower) * (cut - rise)) + (swing * (Cos(rise) - Cos(cut))) + ((upper - lower) * ((PI / 2) - cut))) / PI;
    }

    /// <summary>
    /// Two half sines: from the day's minimum up to its maximum, and down to the next day's minimum. °C·day.
    /// </summary>
    /// <param name="minC">The day's minimum, °C.</param>
    /// <param name="maxC">The day's maximum, °C; at least the minimum.</param>
    /// <param name="nextMinC">
    /// The next day's minimum, °C. It may lie above the maximum when it warms overnight: half a sine between two values is
    /// the same in both directions.
    /// </param>
    /// <param name="lower">Lower threshold, °C.</param>
    /// <param name="upper">Upper threshold, °C; above the lower one.</param>
    public static double DoubleSine(double minC, double maxC, double nextMinC, double lower, double upper) =>
        (SingleSine(minC, maxC, lower, upper)
            + SingleSine(Min(maxC, nextMinC), Max(maxC, nextMinC), lower, upper)) / 2;

    /// <summary>Mean of what readings of one day exceed the lower threshold by, cut at the upper one. °C·day.</summary>
    /// <param name="values">Air temperatures, °C, each standing for an equally long part of the day; at least one.</param>
    /// <param name="lower">Lower threshold, °C.</param>
    /// <param name="upper">Upper threshold, °C; above the lower one.</param>
    public static double Integrated(ReadOnlySpan<double> values, double lower, double upper)
    {
        RequireThresholds(lower, upper);
        if (values.IsEmpty)
            throw new ArgumentOutOfRangeException(nameof(values), "A day without readings has no degree-days.");
        var sum = 0.0;
        foreach (var tempC in values)
        {
            Psychrometrics.RequireTemperature(tempC);
            sum += Clamp(tempC, lower, upper) - lower;
        }

        return sum / values.Length;
    }

    private static void RequireThresholds(double lower, double upper)
    {
        if (!(double.IsFinite(lower) && lower < upper))
            throw new ArgumentOutOfRangeException(nameof(upper), upper, "The upper threshold must lie above the lower one.");
    }
}
