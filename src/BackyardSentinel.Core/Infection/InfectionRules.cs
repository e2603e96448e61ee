using BackyardSentinel.Garden;

namespace BackyardSentinel.Infection;

/// <summary>The rules that judge side by side.</summary>
public static class InfectionRules
{
    /// <summary>The name of each, in their order.</summary>
    public static IReadOnlyList<string> Names { get; } = [.. All(new Site { Id = "any" }, "any").Select(rule => rule.Name)];

    /// <summary>Every rule there is, for one planting.</summary>
    public static InfectionRule[] All(Site site, string planting) =>
        [new WetHoursRule(planting), new RainDayRule(planting, site.Zone, site.HasRainGauge), new TwoDayRule(planting)];
}
