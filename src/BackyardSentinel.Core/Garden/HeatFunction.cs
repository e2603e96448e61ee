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
