namespace BackyardSentinel.Phenology;

/// <summary>How well the hours of a stretch of time are known.</summary>
/// <param name="Measured">Hours measured.</param>
/// <param name="Filled">Hours filled in over gaps of up to 24 hours.</param>
/// <param name="Flagged">Hours filled in over longer gaps.</param>
/// <param name="Missing">Hours without any temperature, such as those before the first reading.</param>
public readonly record struct HourCounts(int Measured, int Filled, int Flagged, int Missing)
{
    /// <summary>Fewer hours lacking than this never spoil a sum: three winter days bring about three chill portions. Assumed.</summary>
    public const int HarmlessHours = 72;

    /// <summary>A sum is trusted while at most this share of its hours is lacking. Assumed.</summary>
    public const double LargestLackingShare = 0.1;

    /// <summary>All hours counted.</summary>
    public int Total => Measured + Filled + Flagged + Missing;

    /// <summary>Hours that are missing or no better than a guess.</summary>
    public int Lacking => Flagged + Missing;

    /// <summary>Whether a sum of chill over these hours can be trusted.</summary>
    public bool Trusted => IsLittle(Lacking);

    /// <summary>
    /// Whether a sum of warmth since a stage that was seen can be trusted: hours filled in over long gaps will do for it,
    /// as an error ends with the next stage seen. Assumed.
    /// </summary>
    public bool TrustedSinceSeen => IsLittle(Missing);

    /// <summary>These hours and one more.</summary>
    public HourCounts With(HourSource source) => source switch
    {
        HourSource.Measured => this with { Measured = Measured + 1 },
        HourSource.Flagged => this with { Flagged = Flagged + 1 },
        _ => this with { Filled = Filled + 1 },
    };

    private bool IsLittle(int hours) => hours <= HarmlessHours || hours <= LargestLackingShare * Total;
}
