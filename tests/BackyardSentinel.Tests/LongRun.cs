namespace BackyardSentinel.Tests;

/// <summary>
/// Proofs that repeat the same thing do so a few times at each save, and as often as is wanted before a release: by an environment
/// variable each, such as <c>BACKYARD_SENTINEL_KILLS</c>, or all of those that have a long form with <c>SENTINEL_LONG_TESTS</c> set to 1.
/// <c>tests/bench/faults.cs</c> sets them.
/// </summary>
internal static class LongRun
{
    /// <summary>Where what is made up at random begins, unless <c>BACKYARD_SENTINEL_SEED</c> says so.</summary>
    public static int Seed => Asked("SEED") ?? 20270301;

    /// <summary>How often.</summary>
    /// <param name="usually">At each save.</param>
    /// <param name="thoroughly">In a long run.</param>
    public static int Times(int usually, int thoroughly) =>
        Environment.GetEnvironmentVariable("SENTINEL_LONG_TESTS") == "1" ? thoroughly : usually;

    /// <summary>The number that the variable of this name says; <c>null</c>: it is not set.</summary>
    /// <param name="what">The end of its name.</param>
    public static int? Asked(string what) =>
        int.TryParse(Environment.GetEnvironmentVariable($"BACKYARD_SENTINEL_{what}"), CultureInfo.InvariantCulture, out var count)
            ? count
            : null;

    /// <summary>A figure for docs/reliability.md.</summary>
    public static void Tell(string figure) => TestContext.Current.SendDiagnosticMessage(figure);
}
