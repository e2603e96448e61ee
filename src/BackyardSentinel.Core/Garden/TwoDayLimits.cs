namespace BackyardSentinel.Garden;

/// <summary>The limits of the rule <c>two-day</c>: common practice, no source. The ranges are assumed.</summary>
public sealed record TwoDayLimits : RuleLimits
{
    /// <summary>Builds a set; throws <see cref="ArgumentOutOfRangeException"/> for a limit out of its range.</summary>
    /// <param name="minTempC">Lowest interval mean that counts, °C.</param>
    /// <param name="maxTempC">Highest interval mean that counts, °C; not below <paramref name="minTempC"/>.</param>
    /// <param name="minHumidityPct">Humidity from which an interval counts even if it is not wet, %.</param>
    /// <param name="likelyHours">Hours from which infection is likely, and a window opens.</param>
    /// <param name="severeHours">Hours from which it is severe; not below <paramref name="likelyHours"/>.</param>
    /// <param name="longestBreakHours">Hours outside that a stretch survives.</param>
    public TwoDayLimits(
        double minTempC = 8,
        double maxTempC = 16,
        double minHumidityPct = 90,
        double likelyHours = 24,
        double severeHours = 48,
        double longestBreakHours = 1)
        : base(RuleName.TwoDay)
    {
        MinTempC = TempC.Checked(minTempC, nameof(minTempC));
        MaxTempC = TempC.Checked(maxTempC, nameof(maxTempC));
        MinHumidityPct = HumidityPct.Checked(minHumidityPct, nameof(minHumidityPct));
        LikelyHours = Hours.Checked(likelyHours, nameof(likelyHours));
        SevereHours = Hours.Checked(severeHours, nameof(severeHours));
        LongestBreak = TimeSpan.FromHours(BreakHours.Checked(longestBreakHours, nameof(longestBreakHours)));
        if (maxTempC < minTempC)
            throw new ArgumentOutOfRangeException(nameof(maxTempC), maxTempC, "It does not lie below the lowest temperature.");
        if (severeHours < likelyHours)
            throw new ArgumentOutOfRangeException(nameof(severeHours), severeHours, "They are not fewer than those of likely infection.");
    }

    /// <summary>Where the temperatures may lie, °C.</summary>
    public static LimitRange TempC => new(-5, 40);

    /// <summary>Where the humidity may lie, %.</summary>
    public static LimitRange HumidityPct => new(50, 100);

    /// <summary>Where the hours of a stretch may lie, h.</summary>
    public static LimitRange Hours => new(1, 240);

    /// <summary>Where the longest break may lie, h.</summary>
    public static LimitRange BreakHours => new(0, 24);

    /// <summary>Lowest interval mean that counts, °C.</summary>
    public double MinTempC { get; }

    /// <summary>Highest interval mean that counts, °C.</summary>
    public double MaxTempC { get; }

    /// <summary>Humidity from which an interval counts even if it is not wet, %.</summary>
    public double MinHumidityPct { get; }

    /// <summary>Hours from which infection is likely, and a window opens.</summary>
    public double LikelyHours { get; }

    /// <summary>Hours from which it is severe.</summary>
    public double SevereHours { get; }

    /// <summary>Time outside that a stretch survives.</summary>
    public TimeSpan LongestBreak { get; }

    /// <inheritdoc/>
    public override (double? LowC, double? HighC) TemperaturesC => (MinTempC, MaxTempC);
}
