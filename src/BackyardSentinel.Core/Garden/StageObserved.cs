namespace BackyardSentinel.Garden;

/// <summary>The grower saw a stage; it counts from the beginning of its local day.</summary>
/// <param name="On">The local day.</param>
/// <param name="Stage">What was seen.</param>
public readonly record struct StageObserved(DateOnly On, BudStage Stage);
