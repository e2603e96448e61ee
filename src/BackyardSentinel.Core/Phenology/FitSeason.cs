namespace BackyardSentinel.Phenology;

/// <summary>A season to fit needs to.</summary>
/// <param name="SeenOn">The local day on which the stage was first seen.</param>
/// <param name="Hours">The season's hours in order, from the day chill counts to some weeks after the stage was seen.</param>
public sealed record FitSeason(DateOnly SeenOn, IReadOnlyList<HourTemperature> Hours);
