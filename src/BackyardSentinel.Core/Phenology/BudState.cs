namespace BackyardSentinel.Phenology;

/// <summary>How far a planting's leaf buds are known to be shut or open.</summary>
public enum BudState
{
    /// <summary>Even the earliest tree has not begun to swell.</summary>
    Shut,

    /// <summary>The earliest tree has begun to swell, the latest has not.</summary>
    MayBeOpen,

    /// <summary>Even the latest tree has begun to swell, or the grower saw it.</summary>
    Open,
}

/// <summary>The words for <see cref="BudState"/>.</summary>
public static class BudStateWords
{
    /// <summary>The word in sentences, in JSON and on topics: <c>shut</c>, <c>may be open</c>, <c>open</c>.</summary>
    public static string Word(this BudState state) => state switch
    {
        BudState.Shut => "shut",
        BudState.MayBeOpen => "may be open",
        BudState.Open => "open",
    };
}
