namespace BackyardSentinel.Tuning;

/// <summary>
/// Looks at a planting, with and without a window in whose symptom days they fell; curl that is seen again is left out. Each look
/// counts once here whichever way it came out. In <see cref="Verification"/> every window after which curl was found is a hit, but
/// curl is missed once at most until a clean look, so that a rule that warns always seems to have skill; this table does not flatter it.
/// </summary>
/// <param name="CurlForetold">Looks that found curl, after a window.</param>
/// <param name="CurlUnforetold">Looks that found curl, without one.</param>
/// <param name="CleanForetold">Looks that found none, after a window on a tree that no protectant covered.</param>
/// <param name="CleanUnforetold">Looks that found none, without one.</param>
public readonly record struct LookCounts(int CurlForetold, int CurlUnforetold, int CleanForetold, int CleanUnforetold)
{
    /// <summary>Looks that found curl.</summary>
    public int Curl => CurlForetold + CurlUnforetold;

    /// <summary>Looks that found none.</summary>
    public int Clean => CleanForetold + CleanUnforetold;

    /// <summary>Peirce skill score of the looks, -1 to 1; 0 where windows and curl have nothing to do with each other.</summary>
    public double? Skill => Verification.PeirceOf(CurlForetold, CurlUnforetold, CleanForetold, CleanUnforetold);

    /// <summary>Both together.</summary>
    public static LookCounts operator +(LookCounts one, LookCounts other) => new(
        one.CurlForetold + other.CurlForetold,
        one.CurlUnforetold + other.CurlUnforetold,
        one.CleanForetold + other.CleanForetold,
        one.CleanUnforetold + other.CleanUnforetold);
}
