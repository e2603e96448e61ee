namespace BackyardSentinel.Infection;

/// <summary>How near a planting is to infection. The number is published beside the word.</summary>
public enum Level
{
    /// <summary>Data are missing: neither danger nor its absence is known.</summary>
    Unknown = -1,

    /// <summary>No wet spell that could infect.</summary>
    Clear = 0,

    /// <summary>A wet spell runs but has not reached the rule's minimum.</summary>
    Building = 1,

    /// <summary>The minimum is met; the assumed dose is below 0.25.</summary>
    Possible = 2,

    /// <summary>The assumed dose is 0.25 to below 0.70, or a day rule fired.</summary>
    Likely = 3,

    /// <summary>The assumed dose is 0.70 or more.</summary>
    Severe = 4,
}
