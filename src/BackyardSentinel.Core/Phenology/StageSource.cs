namespace BackyardSentinel.Phenology;

/// <summary>Where a stage is known from.</summary>
public enum StageSource
{
    /// <summary>It is not known.</summary>
    Unknown,

    /// <summary>From the sums of chill and warmth.</summary>
    Computed,

    /// <summary>From the grower's eyes.</summary>
    Logged,
}
