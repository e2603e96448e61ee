using BackyardSentinel.Garden;

namespace BackyardSentinel.Infection;

/// <summary>The rules that judge side by side.</summary>
public static class InfectionRules
{
    /// <summary>Every rule there is, for one planting.</summary>
    public static InfectionRule[] All(Site site, string planting) =>
        [.. Enum.GetValues<RuleName>().Select(name => Of(name, site, planting))];

    private static InfectionRule Of(RuleName name, Site site, string planting) => name switch
    {
        RuleName.WetHours => new WetHoursRule(planting),
        RuleName.RainDay => new RainDayRule(planting, site.Zone, site.HasRainGauge),
        RuleName.TwoDay => new TwoDayRule(planting),
    };
}
