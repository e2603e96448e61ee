using BackyardSentinel.Garden;

namespace BackyardSentinel.Infection;

/// <summary>The standing judgement of one planting, as published on its risk topic.</summary>
/// <param name="Planting">The planting's id.</param>
/// <param name="Level">The level by the driving rule.</param>
/// <param name="Since">When this level began, UTC; <c>null</c> before the first interval.</param>
/// <param name="Opinions">Every rule's own level, by its name.</param>
/// <param name="FractionReached">While building: how much of the minimum is reached, 0–1; otherwise <c>null</c>.</param>
/// <param name="Uncertain">Too much of the weather behind it is unknown, or what a sensor said last was refused.</param>
/// <param name="OpenWindows">Windows that are open now, one at most per rule.</param>
public sealed record PlantingRisk(
    string Planting,
    Level Level,
    DateTimeOffset? Since,
    IReadOnlyDictionary<string, Level> Opinions,
    double? FractionReached,
    bool Uncertain,
    IReadOnlyList<InfectionWindow> OpenWindows)
{
    /// <summary>BBCH code, if one is fixed, seen or computed.</summary>
    public int? Stage { get; init; }

    /// <summary>It is known whether the leaf buds are shut or open; where not, they are judged as open.</summary>
    public bool StageSure { get; init; } = true;

    /// <summary>How far the tissue can be infected, 0–1.</summary>
    public double Susceptibility { get; init; }

    /// <summary>A rain shelter is over it.</summary>
    public bool Sheltered { get; init; }

    /// <summary>The wet spell that runs on it, which under a shelter is not the site's; <c>null</c>: none.</summary>
    public WetSpell? Spell { get; init; }

    /// <summary>What is left of a protectant; <c>null</c> without a journal.</summary>
    public Cover? Cover { get; init; }
}
