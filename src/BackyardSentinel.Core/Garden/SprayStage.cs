namespace BackyardSentinel.Garden;

/// <summary>
/// What a BBCH code of stone fruit means for spraying. The spray year begins at leaf fall, so 91–99 come before 00, and
/// flower buds (50–69) run beside leaf buds (00–19), so they are set against each other.
/// </summary>
public static class SprayStage
{
    /// <summary>
    /// Place of a code in the spray year, comparable: -9 to -1 for 91–99, the leaf-bud code itself, and for flower buds
    /// the leaf-bud code they go with: 51 ~ 01, 53 ~ 03, 57 ~ 09, 60 ~ 10, 65 ~ 11, 69 ~ 19 (assumed; they part by
    /// some days between varieties).
    /// </summary>
    /// <param name="code">BBCH code, 0–99.</param>
    public static int Rank(int code) => code switch
    {
        < 0 or > 99 => throw new ArgumentOutOfRangeException(nameof(code), code, "A BBCH code lies within 0 to 99."),
        > 90 => code - 100,
        < 50 or > 69 => code,
        < 54 => code - 50,
        < 57 => 5,
        < 60 => 9,
        < 65 => 10,
        < 69 => 11,
        _ => 19,
    };

    /// <summary>Leaf or flower buds swell or are past it (01, 51 and later), until leaf fall.</summary>
    /// <param name="code">BBCH code, 0–99.</param>
    public static bool BudsSwell(int code) => Rank(code) >= 1;

    /// <summary>
    /// Open green leaves or petals that copper burns: leaves parted (10) or the first petals showing (57), until leaves
    /// begin to fall (93). At green tip (09) most of the leaf is still inside the bud, so there it is a warning.
    /// </summary>
    /// <param name="code">BBCH code, 0–99.</param>
    public static bool InLeaf(int code) => code is (>= 10 and < 50) or (>= 57 and < 93);

    /// <summary>Bare, or shedding its leaves: the time of dormant sprays.</summary>
    /// <param name="code">BBCH code, 0–99.</param>
    public static bool IsDormant(int code) => !BudsSwell(code) && !InLeaf(code);
}
