namespace BackyardSentinel.Garden;

/// <summary>
/// The limits of the rule <c>rain-day</c>: Giosuè, Spada, Rossi, Carli and Ponti 2000, Eur. J. Plant Pathol. 106:563–571
/// (abstract). The ranges are assumed.
/// </summary>
public sealed record RainDayLimits : RuleLimits
{
    /// <summary>Builds a set; throws <see cref="ArgumentOutOfRangeException"/> for a limit out of its range.</summary>
    /// <param name="rainAboveMm">The local day's rain must exceed this, mm.</param>
    /// <param name="maxTempAboveC">The local day's maximum temperature must exceed this, °C.</param>
    public RainDayLimits(double rainAboveMm = 10.0, double maxTempAboveC = 5.0)
        : base(RuleName.RainDay)
    {
        RainAboveMm = RainMm.Checked(rainAboveMm, nameof(rainAboveMm));
        MaxTempAboveC = TempC.Checked(maxTempAboveC, nameof(maxTempAboveC));
    }

    /// <summary>Where the day's rain may lie, mm.</summary>
    public static LimitRange RainMm => new(0, 200);

    /// <summary>Where the day's maximum may lie, °C.</summary>
    public static LimitRange TempC => new(-10, 30);

    /// <summary>The local day's rain must exceed this, mm.</summary>
    public double RainAboveMm { get; }

    /// <summary>The local day's maximum temperature must exceed this, °C.</summary>
    public double MaxTempAboveC { get; }

    /// <inheritdoc/>
    public override (double? LowC, double? HighC) TemperaturesC => (MaxTempAboveC, null);
}
