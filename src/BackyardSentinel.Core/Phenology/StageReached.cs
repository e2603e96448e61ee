using BackyardSentinel.Garden;

namespace BackyardSentinel.Phenology;

/// <summary>A planting reached a stage.</summary>
/// <param name="Stage">The stage.</param>
/// <param name="On">The local day on which it was reached or seen.</param>
/// <param name="At">End of the hour in which it was reached, or the beginning of the day on which it was seen, UTC.</param>
/// <param name="Source">Computed or logged.</param>
/// <param name="Early">Local day on which an early tree reached it; for a logged stage its own day.</param>
/// <param name="Late">
/// Local day on which a late tree reached it; <c>null</c> for a computed stage, as that day is still to come. Ask
/// <see cref="StageModel.DatesOf"/> later.
/// </param>
public sealed record StageReached(
    BudStage Stage, DateOnly On, DateTimeOffset At, StageSource Source, DateOnly? Early, DateOnly? Late);
