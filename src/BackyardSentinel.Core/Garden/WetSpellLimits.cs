namespace BackyardSentinel.Garden;

/// <summary>
/// What makes a site's wet spells. The dry gap is published for fruit (Rossi, Bolognesi and Giosuè 2007, Phytopathology
/// 97:1625–1633, abstract), for shoots it is assumed, as are the ranges.
/// </summary>
public sealed record WetSpellLimits
{
    /// <summary>Builds a set; throws <see cref="ArgumentOutOfRangeException"/> for a limit out of its range.</summary>
    /// <param name="longestGapHours">Not-wet time up to and including this keeps a spell, h.</param>
    /// <param name="startsOnAnyWetness">A spell starts with any wet interval instead of rain only.</param>
    /// <param name="wetHumidityPct">Humidity at and above which an interval is wet, %.</param>
    /// <param name="estimator">How wetness is judged where there is no leaf-wetness sensor.</param>
    public WetSpellLimits(
        double longestGapHours = 4,
        bool startsOnAnyWetness = false,
        double wetHumidityPct = 90,
        WetnessEstimator estimator = WetnessEstimator.HumidityThreshold)
    {
        LongestGap = TimeSpan.FromHours(GapHours.Checked(longestGapHours, nameof(longestGapHours)));
        StartsOnAnyWetness = startsOnAnyWetness;
        WetHumidityPct = HumidityPct.Checked(wetHumidityPct, nameof(wetHumidityPct));
        Estimator = estimator;
    }

    /// <summary>The limits used unless others are set.</summary>
    public static WetSpellLimits Usual { get; } = new();

    /// <summary>Where the longest dry gap may lie, h.</summary>
    public static LimitRange GapHours => new(0, 48);

    /// <summary>Where the humidity may lie, %.</summary>
    public static LimitRange HumidityPct => new(50, 100);

    /// <summary>Not-wet time up to and including this keeps a spell.</summary>
    public TimeSpan LongestGap { get; }

    /// <summary>A spell starts with any wet interval instead of rain only.</summary>
    public bool StartsOnAnyWetness { get; }

    /// <summary>Humidity at and above which an interval is wet, %; the estimator <c>humidity-threshold</c> asks for it.</summary>
    public double WetHumidityPct { get; }

    /// <summary>How wetness is judged where there is no leaf-wetness sensor.</summary>
    public WetnessEstimator Estimator { get; }
}
