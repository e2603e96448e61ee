using BackyardSentinel.Garden;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Phenology;

/// <summary>
/// Chill needs published for the varieties of a kind, in portions of the dynamic model: two tables of the
/// University of California, Davis, the needs collected there from many papers, and for nectarine the source of
/// <see cref="StageNeeds.Default"/>. A single variety's figures differ by 5 to 15 portions between studies.
/// </summary>
public static class PublishedChill
{
    /// <summary>
    /// The need taken for a kind without one of its own, in portions: for almond that of Desmayo Largueta, the middle one of
    /// the three published, for apricot that of Murciana, the middle of the twelve; else the default's, a nectarine's.
    /// </summary>
    /// <param name="kind">The kind.</param>
    public static double UsualOf(TreeKind kind) => kind switch
    {
        TreeKind.Almond => 28,
        TreeKind.Apricot => 56,
        TreeKind.Peach or TreeKind.Nectarine => StageNeeds.Default.ChillNeed,
    };

    /// <summary>Where <see cref="UsualOf"/> is from, in words.</summary>
    /// <param name="kind">The kind.</param>
    public static Sentence SourceOf(TreeKind kind) => kind switch
    {
        TreeKind.Almond => (Sentence)$"published for the almond Desmayo Largueta; almonds range from 22 to 32",
        TreeKind.Apricot => $"published for the apricot Murciana; apricots range from 30 to 69",
        TreeKind.Peach or TreeKind.Nectarine =>
            $"published for a nectarine of middling chill (Miranda, Santesteban and Royo 2013); peaches and nectarines range from 8 to 75",
    };
}
