namespace BackyardSentinel.Weather;

/// <summary>What quality control made of a reading.</summary>
public enum QualityVerdict
{
    /// <summary>Taken as it is.</summary>
    Good,

    /// <summary>Taken after clamping: humidity between 100 and 105 % counts as 100 %.</summary>
    Clamped,

    /// <summary>Not taken: the value cannot be (not finite, or outside the quantity's physical range).</summary>
    Impossible,

    /// <summary>Not taken: this series already has a reading of this very time.</summary>
    Duplicate,

    /// <summary>Not taken: its interval has been judged already.</summary>
    Late,
}
