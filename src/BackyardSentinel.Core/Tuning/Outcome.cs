namespace BackyardSentinel.Tuning;

/// <summary>What scouting made of an infection window.</summary>
public enum Outcome
{
    /// <summary>Nobody looked within its symptom days.</summary>
    Unverified,

    /// <summary>There was none within its symptom days, on a tree that a protectant covered when it opened.</summary>
    Covered,

    /// <summary>Curl was found within its symptom days.</summary>
    Hit,

    /// <summary>Shoots were looked at within its symptom days, and there was none, and no protectant to thank for it.</summary>
    FalseAlarm,
}
