using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Planning;

/// <summary>What stands with one planting.</summary>
/// <param name="Planting">The planting's id.</param>
/// <param name="Stage">BBCH stage now; <c>null</c>: not known.</param>
/// <param name="BudSwell">When its leaf buds are expected to swell; <c>null</c>: not known.</param>
/// <param name="Cover">What is left of a protectant on it.</param>
/// <param name="Due">What is due, the soonest first.</param>
/// <param name="Copper">The copper it has received.</param>
public sealed record PlantingPlan(
    string Planting, int? Stage, ExpectedSwell? BudSwell, Cover Cover, IReadOnlyList<DueSpray> Due, CopperBalance Copper)
{
    /// <summary>It is taken to hold the leaves of the summer still, so that no spray may go on.</summary>
    public bool IsInLeaf { get; init; }
}
