using BackyardSentinel.Garden;

namespace BackyardSentinel.Infection;

/// <summary>The rules that judge side by side.</summary>
public static class InfectionRules
{
    /// <summary>The name of each rule, in their order.</summary>
    public static IReadOnlyList<string> Names { get; } = [WetHoursRule.RuleName, RainDayRule.RuleName, TwoDayRule.RuleName];

    /// <summary>Every rule there is, for one planting.</summary>
    public static InfectionRule[] All(Site site, string planting) =>
        [new WetHoursRule(planting), new RainDayRule(planting, site.Zone, site.HasRainGauge), new TwoDayRule(planting)];
}
