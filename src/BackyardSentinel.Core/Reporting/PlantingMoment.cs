using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;

namespace BackyardSentinel.Reporting;

/// <summary>How a planting stands after an interval.</summary>
/// <param name="Level">Its level by the driving rule.</param>
/// <param name="Since">Since when, UTC; <c>null</c>: since the interval's start.</param>
/// <param name="Tissue">Buds, shelter, and whether it can be infected.</param>
/// <param name="Cover">What is left of a protectant; <c>null</c> without a journal.</param>
public readonly record struct PlantingMoment(Level Level, DateTimeOffset? Since, Tissue Tissue, Cover? Cover);

/// <summary>Whether there is anything on a planting that can be infected.</summary>
/// <param name="Buds">Whether the leaf buds are shut, may be open or are open.</param>
/// <param name="Susceptible">Its tissue can be infected, or may be.</param>
/// <param name="Sheltered">A rain shelter is over it.</param>
public readonly record struct Tissue(BudState Buds, bool Susceptible, bool Sheltered);

/// <summary>A planting's level, and where it is unknown what is missing.</summary>
/// <param name="Level">The level.</param>
/// <param name="Missing">What is missing; nothing where the level is known.</param>
public readonly record struct LevelHeld(Level Level, Missing Missing);

/// <summary>A planting's sums at the end of a local day, as they were known then.</summary>
/// <param name="Day">The day.</param>
/// <param name="Chill">The season's chill, in the units of the needs.</param>
/// <param name="HeatHours">Warmth since chill was met or a stage was seen, degree hours.</param>
/// <param name="Warming">Warmth counts: the chill need was met, or taken as met, or a stage was seen.</param>
public readonly record struct SumsOfDay(DateOnly Day, double Chill, double HeatHours, bool Warming);

/// <summary>A series that was doubted for a while, half-open [From, To).</summary>
/// <param name="Doubt">What was seen.</param>
/// <param name="From">From when it was not used, UTC.</param>
/// <param name="To">Until when, UTC; <c>null</c>: it still is not.</param>
public readonly record struct DoubtHeld(Weather.SeriesDoubt Doubt, DateTimeOffset From, DateTimeOffset? To);
