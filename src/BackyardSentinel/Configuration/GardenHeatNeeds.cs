namespace BackyardSentinel.Configuration;

/// <summary>The heat a planting needs from the day its chill is met to each stage, in degree hours of its heat function.</summary>
/// <param name="Swell">To bud swell, BBCH 01 and 51.</param>
/// <param name="GreenTip">To green leaf tips, BBCH 09.</param>
/// <param name="FirstBloom">To the first open flowers, BBCH 60.</param>
/// <param name="PetalFall">To the end of bloom, BBCH 69.</param>
public sealed record GardenHeatNeeds(double Swell, double GreenTip, double FirstBloom, double PetalFall);
