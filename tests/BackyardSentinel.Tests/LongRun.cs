namespace BackyardSentinel.Tests;

/// <summary>
/// Proofs that repeat the same thing do so a few times at each save, and as often as is wanted before a release: with the
/// environment variable <c>SENTINEL_LONG_TESTS</c> set to 1.
/// </summary>
internal static class LongRun
{
    /// <summary>How often.</summary>
    /// <param name="usually">At each save.</param>
    /// <param name="thoroughly">In a long run.</param>
    public static int Times(int usually, int thoroughly) =>
        Environment.GetEnvironmentVariable("SENTINEL_LONG_TESTS") == "1" ? thoroughly : usually;
}
