using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>A time in which a product must not be used on a planting, whatever the weather.</summary>
/// <param name="Planting">The planting's id.</param>
/// <param name="Product">The product's id.</param>
/// <param name="From">From then, UTC.</param>
/// <param name="To">Until then, UTC, at most the end of the plan.</param>
/// <param name="Reason">Why.</param>
public sealed record RefusedSpray(string Planting, string Product, DateTimeOffset From, DateTimeOffset To, Sentence Reason);
