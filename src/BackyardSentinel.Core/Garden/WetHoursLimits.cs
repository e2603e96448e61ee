namespace BackyardSentinel.Garden;

/// <summary>
/// The limits of the rule <c>wet-hours</c>. The least rain and wet time, the mean temperature, and from where on more wetness
/// or less warmth adds next to nothing: Rossi, Bolognesi, Languasco and Giosuè 2006, Phytopathology 96:155–163 (abstract).
/// The ranges are assumed: wide enough for every figure in print (docs/model.md).
/// </summary>
public sealed record WetHoursLimits : RuleLimits
{
    /// <summary>Builds a set; throws <see cref="ArgumentOutOfRangeException"/> for a limit out of its range.</summary>
    /// <param name="minRainMm">Least rain of the spell, mm.</param>
    /// <param name="minWetHours">Least wet time of the spell, h.</param>
    /// <param name="maxMeanTempC">The mean temperature over wet time must be below this, °C.</param>
    /// <param name="fullWetHours">Wet time from which more adds next to nothing, h; above <paramref name="minWetHours"/>.</param>
    /// <param name="fullTempC">Mean from which cooler adds next to nothing, °C; below <paramref name="maxMeanTempC"/>.</param>
    public WetHoursLimits(
        double minRainMm = 3.0,
        double minWetHours = 12.5,
        double maxMeanTempC = 16.0,
        double fullWetHours = 48,
        double fullTempC = 8)
        : base(RuleName.WetHours)
    {
        MinRainMm = RainMm.Checked(minRainMm, nameof(minRainMm));
        MinWetHours = WetHours.Checked(minWetHours, nameof(minWetHours));
        MaxMeanTempC = TempC.Checked(maxMeanTempC, nameof(maxMeanTempC));
        FullWetHours = WetHours.Checked(fullWetHours, nameof(fullWetHours));
        FullTempC = TempC.Checked(fullTempC, nameof(fullTempC));
        if (fullWetHours <= minWetHours)
            throw new ArgumentOutOfRangeException(nameof(fullWetHours), fullWetHours, "It lies above the least wet time.");
        if (fullTempC >= maxMeanTempC)
            throw new ArgumentOutOfRangeException(nameof(fullTempC), fullTempC, "It lies below the highest mean temperature.");
    }

    /// <summary>Where the least rain may lie, mm; 0 asks for none.</summary>
    public static LimitRange RainMm => new(0, 50);

    /// <summary>Where the wet times may lie, h.</summary>
    public static LimitRange WetHours => new(0.5, 120);

    /// <summary>Where the mean temperatures may lie, °C.</summary>
    public static LimitRange TempC => new(-5, 40);

    /// <summary>Least rain of the spell, mm.</summary>
    public double MinRainMm { get; }

    /// <summary>Least wet time of the spell, h; the assumed wetness response is 0.05 there.</summary>
    public double MinWetHours { get; }

    /// <summary>The mean temperature over wet time must be below this, °C; the assumed temperature response is 0.05 there.</summary>
    public double MaxMeanTempC { get; }

    /// <summary>Wet time from which more adds next to nothing, h; the assumed wetness response is 0.95 there.</summary>
    public double FullWetHours { get; }

    /// <summary>Mean from which cooler adds next to nothing, °C; the assumed temperature response is 0.95 there.</summary>
    public double FullTempC { get; }

    /// <inheritdoc/>
    public override (double? LowC, double? HighC) TemperaturesC => (null, MaxMeanTempC);
}
