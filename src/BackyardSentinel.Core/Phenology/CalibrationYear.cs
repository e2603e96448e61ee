namespace BackyardSentinel.Phenology;

/// <summary>A season to calibrate with.</summary>
/// <param name="SeenOn">The local day on which the stage was first seen.</param>
/// <param name="Hours">The season's hours in order, from the day chill counts to some weeks after the stage was seen.</param>
public sealed record CalibrationYear(DateOnly SeenOn, IReadOnlyList<HourTemperature> Hours);
