namespace BackyardSentinel.Garden;

/// <summary>What is left of a protectant on the tree.</summary>
public enum Cover
{
    /// <summary>No protectant is known to be on it.</summary>
    None,

    /// <summary>Little rain since.</summary>
    Fresh,

    /// <summary>Enough rain that it should be looked at.</summary>
    Recheck,

    /// <summary>So much rain that it should be counted as gone.</summary>
    Spent,
}
