namespace BackyardSentinel.Weather;

/// <summary>The sun of one local calendar day.</summary>
/// <param name="Sunrise">The sunrise before <paramref name="Noon"/>, UTC; <c>null</c> when there is none.</param>
/// <param name="Sunset">The sunset after <paramref name="Noon"/>, UTC; <c>null</c> when there is none.</param>
/// <param name="Noon">The sun's highest stand, UTC.</param>
/// <param name="State">Whether it rises and sets.</param>
public readonly record struct SunDay(DateTimeOffset? Sunrise, DateTimeOffset? Sunset, DateTimeOffset Noon, SunState State);
