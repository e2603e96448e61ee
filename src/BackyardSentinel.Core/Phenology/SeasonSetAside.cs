namespace BackyardSentinel.Phenology;

/// <summary>A season that a fit does not rest on.</summary>
/// <param name="SeenOn">The local day on which the stage was seen.</param>
/// <param name="Why">Why, a sentence.</param>
/// <param name="DaysOff">How many days before (negative) or after the others' day it was seen; <c>null</c>: it could not serve at
/// all.</param>
public sealed record SeasonSetAside(DateOnly SeenOn, string Why, int? DaysOff = null);
