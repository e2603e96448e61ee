using BackyardSentinel.Garden;

namespace BackyardSentinel.Phenology;

/// <summary>
/// Which of the three trees between which a stage lies. All figures of <see cref="StageBounds"/> are ASSUMED; they were
/// tried on recorded winters, cut and holed in many ways.
/// </summary>
public enum StageBound
{
    /// <summary>No tree of these needs can be further, whatever was not measured.</summary>
    Earliest,

    /// <summary>The needs as they are; what was not measured is taken from beside or from the usual year.</summary>
    Expected,

    /// <summary>No tree of these needs can be further behind.</summary>
    Latest,
}

/// <summary>What tells the three trees apart.</summary>
internal static class StageBounds
{
    /// <summary>From this length of a lengthening day on <see cref="ShortOfChill"/> of the need will do for the earliest tree, h.</summary>
    public const double ShortOfChillFromHours = 11;

    /// <summary>The share of the chill need that will do then.</summary>
    public const double ShortOfChill = 0.7;

    /// <summary>All needs times this.</summary>
    public static double Factor(this StageBound bound, StageNeeds needs) => bound switch
    {
        StageBound.Earliest => 1 - needs.Spread,
        StageBound.Latest => 1 + needs.Spread,
        StageBound.Expected => 1,
    };

    /// <summary>
    /// From this length of a lengthening day on heat alone counts, h: trees short of chill break late and raggedly, they do
    /// not sleep all year.
    /// </summary>
    public static double HeatAloneFromHours(this StageBound bound) => bound switch
    {
        StageBound.Earliest => 12,
        StageBound.Latest => 13,
        StageBound.Expected => 12.5,
    };

    /// <summary>After a stage was seen at least this share of the heat to the next one must come before the tree is beyond it.</summary>
    public static double ShareAfterSeen(this StageBound bound) => bound switch
    {
        StageBound.Earliest => 0.2,
        StageBound.Latest => 1,
        StageBound.Expected => 0.5,
    };
}
