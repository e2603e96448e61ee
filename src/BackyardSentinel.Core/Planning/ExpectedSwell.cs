using BackyardSentinel.Phenology;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>When leaf buds are expected to swell (BBCH 01).</summary>
/// <param name="Expected">The likeliest local day.</param>
/// <param name="Early">Early end of the range: the deadline that is safe.</param>
/// <param name="Late">Late end of the range.</param>
/// <param name="Basis">What it rests on, for people.</param>
public sealed record ExpectedSwell(DateOnly Expected, DateOnly Early, DateOnly Late, Sentence Basis)
{
    /// <summary>What a look ahead gives a plan; <c>null</c> where no deadline can be told. A late end that is not known says so.</summary>
    public static ExpectedSwell? Of(BudSwell swell) => swell is { Expected: { } expected, Early: { } early }
        ? new ExpectedSwell(
            expected,
            early,
            swell.Late ?? expected,
            swell.Late is null ? (Sentence)$"{swell.Basis} The late end is not known." : swell.Basis)
        : null;
}
