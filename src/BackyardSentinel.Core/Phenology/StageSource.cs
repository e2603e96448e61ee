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

/// <summary>The one name of each source.</summary>
public static class StageSourceWords
{
    /// <summary><c>unknown</c>, <c>computed</c> or <c>seen</c>.</summary>
    public static string Word(this StageSource source) => source switch
    {
        StageSource.Computed => "computed",
        StageSource.Logged => "seen",
        StageSource.Unknown => "unknown",
    };
}
