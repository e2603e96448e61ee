namespace BackyardSentinel.Garden;

/// <summary>The grower saw a stage; it counts from the beginning of its local day.</summary>
/// <param name="On">The local day.</param>
/// <param name="Stage">What was seen.</param>
public readonly record struct StageObserved(DateOnly On, BudStage Stage)
{
    /// <summary>The journal's entries that name a known stage, in their order.</summary>
    public static IEnumerable<StageObserved> From(IEnumerable<StageEntry> entries)
    {
        foreach (var entry in entries)
        {
            if (BudStage.TryFrom(entry.Code, out var stage))
                yield return new StageObserved(entry.On, stage);
        }
    }
}
