using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>A stretch of hours fit for spraying one product on one planting.</summary>
/// <param name="Planting">The planting's id.</param>
/// <param name="Product">The product's id.</param>
/// <param name="Start">Start of its first hour, UTC.</param>
/// <param name="End">End of its last hour, UTC.</param>
/// <param name="Rank">1 for the best of this planting and product, then 2 and so on.</param>
/// <param name="Score">What the rank rests on; only to be compared with other slots of the same plan.</param>
/// <param name="Why">What speaks for and against it.</param>
public sealed record SpraySlot(
    string Planting, string Product, DateTimeOffset Start, DateTimeOffset End, int Rank, double Score, IReadOnlyList<Sentence> Why)
{
    /// <summary>The same in English.</summary>
    public IReadOnlyList<string> Reasons { get; } = [.. Why.Select(one => one.Text)];

    /// <summary>The reason that a slot lies before the deadline has.</summary>
    /// <param name="early">The early date of the expected bud swell.</param>
    public static Sentence Timely(DateOnly early) => $"before {early}, when buds may begin to swell";
}
