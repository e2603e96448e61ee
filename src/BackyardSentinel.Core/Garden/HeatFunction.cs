using BackyardSentinel.Phenology;

namespace BackyardSentinel.Garden;

/// <summary>The ways warmth is counted after chilling. A need holds only for the function it was found with.</summary>
public enum HeatFunction
{
    /// <summary><see cref="GrowingDegreeHours.Asymcur"/>.</summary>
    Asymcur,

    /// <summary><see cref="GrowingDegreeHours.Linear45"/>.</summary>
    Linear45,

    /// <summary><see cref="GrowingDegreeHours.Linear47"/>.</summary>
    Linear47,
}

/// <summary>The words of the garden file.</summary>
public static class HeatFunctionWords
{
    /// <summary>As the garden file spells it: <c>linear-4.7</c>.</summary>
    public static string Word(this HeatFunction heatfunction) => heatfunction switch
    {
        HeatFunction.Asymcur => "asymcur",
        HeatFunction.Linear45 => "linear-4.5",
        HeatFunction.Linear47 => "linear-4.7",
    };
}
