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

    /// <summary>Whether a sum over these hours can be trusted.</summary>
    public bool Trusted => Lacking <= HarmlessHours || Lacking <= LargestLackingShare * Total;

    /// <summary>These hours and one more.</summary>
    public HourCounts With(HourSource source) => source switch
    {
        HourSource.Measured => this with { Measured = Measured + 1 },
        HourSource.Flagged => this with { Flagged = Flagged + 1 },
        _ => this with { Filled = Filled + 1 },
    };
}
