
namespace BackyardSentinel.Garden;

/// <summary>
/// The lowest and the highest air temperature of a day. NaN, a value outside -100 to 100 °C or a maximum below the minimum throws.
/// </summary>
/// <param name="MinC">The lowest, °C: that of the morning, for the curve through the day.</param>
/// <param name="MaxC">The highest, °C; at least the lowest.</param>
public readonly record struct DailyExtremes(double MinC, double MaxC)
{
    /// <summary>The lowest, °C.</summary>
    public double MinC { get; } = Require(MinC);

    /// <summary>The highest, °C.</summary>
    public double MaxC { get; } = Require(MaxC) >= MinC
        ? MaxC
        : throw new ArgumentOutOfRangeException(nameof(MaxC), MaxC, "A day's maximum must not lie below its minimum.");

    /// <summary>Half-way between them, °C.</summary>
    public double MeanC => (MinC + MaxC) / 2;

    private static double Require(double tempC)
    {
        if (!(tempC is >= -100 and <= 100))
            throw new ArgumentOutOfRangeException(nameof(tempC), tempC, "A temperature must lie within -100 to 100 °C.");
        return tempC;
    }
}
