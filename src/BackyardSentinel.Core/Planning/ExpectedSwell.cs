namespace BackyardSentinel.Planning;

/// <summary>When leaf buds are expected to swell (BBCH 01).</summary>
/// <param name="Expected">The likeliest local day.</param>
/// <param name="Early">Early end of the range: the deadline that is safe.</param>
/// <param name="Late">Late end of the range.</param>
/// <param name="Basis">What it rests on, for people.</param>
public sealed record ExpectedSwell(DateOnly Expected, DateOnly Early, DateOnly Late, string Basis);
