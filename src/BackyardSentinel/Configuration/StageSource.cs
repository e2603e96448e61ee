namespace BackyardSentinel.Configuration;

/// <summary>Where a planting's bud stage comes from.</summary>
public enum StageSource
{
    /// <summary>The last stage in the journal, else the one computed from chill and heat.</summary>
    Followed,

    /// <summary>No stage is asked for: the tissue is judged as open to infection the whole year.</summary>
    Always,

    /// <summary>One BBCH code that holds throughout.</summary>
    Fixed,
}
