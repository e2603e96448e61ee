namespace BackyardSentinel.Configuration;

/// <summary>The share of metallic copper in the compounds labels name, by weight.</summary>
internal static class CopperFraction
{
    // Standard atomic weights, IUPAC, abridged, g/mol.
    private const double H = 1.008;
    private const double C = 12.011;
    private const double N = 14.007;
    private const double O = 15.999;
    private const double S = 32.06;
    private const double Cl = 35.45;
    private const double Cu = 63.546;

    /// <summary>The share, 0 to 1, or <c>null</c> where the word names no compound of one formula.</summary>
    public static double? Of(string active) => active switch
    {
        "copper" => 1,
        "copper-hydroxide" => Cu / (Cu + 2 * (O + H)),
        "copper-oxychloride" => 2 * Cu / (2 * Cu + 3 * (O + H) + Cl),
        // The salt of commerce carries five waters.
        "copper-sulfate" => Cu / (Cu + S + 4 * O + 5 * (2 * H + O)),
        "cuprous-oxide" => 2 * Cu / (2 * Cu + O),
        "copper-octanoate" => Cu / (Cu + 2 * (8 * C + 15 * H + 2 * O)),
        "tribasic-copper-sulfate" => 4 * Cu / (4 * Cu + S + 4 * O + 6 * (O + H)),
        "copper-diammine-acetate" => Cu / (Cu + 2 * (N + 3 * H) + 2 * (2 * C + 3 * H + 2 * O)),
        _ => null,
    };
}
