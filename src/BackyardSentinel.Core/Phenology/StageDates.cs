namespace BackyardSentinel.Phenology;

/// <summary>When the three tracks reached a stage; <c>null</c> where one has not yet.</summary>
/// <param name="Early">Local day of the early track.</param>
/// <param name="Expected">Local day of the expected track.</param>
/// <param name="Late">Local day of the late track.</param>
public readonly record struct StageDates(DateOnly? Early, DateOnly? Expected, DateOnly? Late);
