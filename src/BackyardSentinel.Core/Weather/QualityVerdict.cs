namespace BackyardSentinel.Weather;

/// <summary>What became of a reading.</summary>
public enum QualityVerdict
{
    /// <summary>Taken as it is.</summary>
    Good,

    /// <summary>Taken after clamping: humidity between 100 and 105 % counts as 100 %, leaf wetness just below 0 as 0.</summary>
    Clamped,

    /// <summary>Not taken: the value is not finite or outside the quantity's range.</summary>
    Impossible,

    /// <summary>Not taken: this series already has a reading of this very time; the first one counts.</summary>
    Duplicate,

    /// <summary>Not taken: its interval has been judged already, or it is more than a day old.</summary>
    Late,

    /// <summary>Not taken: it lies further from the value before than weather goes, and no second value agrees with it yet.</summary>
    Leap,

    /// <summary>Not taken: its time lies more than ten minutes after its arrival.</summary>
    Ahead,
}
