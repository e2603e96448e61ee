namespace BackyardSentinel.Scouting;

/// <summary>How much of a planting shows curl. No published scale for leaf curl was found; the bands are assumed.</summary>
public enum SeverityBand
{
    /// <summary>No curled shoot among those looked at.</summary>
    None,

    /// <summary>Up to 5 % of shoots.</summary>
    Trace,

    /// <summary>More than 5 up to 25 %.</summary>
    Light,

    /// <summary>More than 25 up to 50 %.</summary>
    Moderate,

    /// <summary>More than 50 %.</summary>
    Heavy,
}
