namespace BackyardSentinel.Garden;

/// <summary>How much warmth after chilling brings a tree to a stage. At least one of the two codes is given.</summary>
/// <param name="LeafBud">The stage of the leaf buds then, if any is named; 01–19.</param>
/// <param name="FlowerBud">The stage of the flower buds then, if any is named; 51–69.</param>
/// <param name="DegreeHours">Heat summed since chilling was met, degree hours of the needs' heat function.</param>
public readonly record struct StageNeed(BudStage? LeafBud, BudStage? FlowerBud, double DegreeHours);
