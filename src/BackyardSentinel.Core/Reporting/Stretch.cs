namespace BackyardSentinel.Reporting;

/// <summary>What held for a while, half-open [From, To).</summary>
/// <param name="From">From when, UTC.</param>
/// <param name="To">Until when, UTC.</param>
/// <param name="Value">What held.</param>
public readonly record struct Stretch<T>(DateTimeOffset From, DateTimeOffset To, T Value)
{
    /// <summary>How long it is.</summary>
    public TimeSpan Length => To - From;
}
