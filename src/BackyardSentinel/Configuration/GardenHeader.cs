namespace BackyardSentinel.Configuration;

/// <summary>A header of a webhook's requests.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Value">Its value, or where that is kept.</param>
public sealed record GardenHeader(string Name, GardenValue Value);
