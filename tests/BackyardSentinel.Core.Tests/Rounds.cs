namespace BackyardSentinel;

/// <summary>
/// How often a check that repeats itself with other figures does so: a contributor runs them all at each save, within seconds; where
/// <c>CI</c> is set, as on a build server, they run in full, and with <c>SENTINEL_LONG_TESTS=1</c> ten times as often.
/// </summary>
internal static class Rounds
{
    /// <summary>A full run's number, a fifth of it at a save.</summary>
    /// <param name="inFull">How often where <c>CI</c> is set.</param>
    public static int Of(int inFull) =>
        Environment.GetEnvironmentVariable("SENTINEL_LONG_TESTS") == "1" ? inFull * 10
        : Environment.GetEnvironmentVariable("CI") is { Length: > 0 } ? inFull
        : Math.Max(1, inFull / 5);
}
