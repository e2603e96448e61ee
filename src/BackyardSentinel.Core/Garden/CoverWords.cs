namespace BackyardSentinel.Garden;

/// <summary>Cover as people and topics see it.</summary>
public static class CoverWords
{
    /// <summary>The word in lower case.</summary>
    public static string Word(this Cover cover) => cover switch
    {
        Cover.Fresh => "fresh",
        Cover.Recheck => "recheck",
        Cover.Spent => "spent",
        Cover.None => "none",
    };
}
