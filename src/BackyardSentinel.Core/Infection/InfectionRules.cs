using BackyardSentinel.Garden;

namespace BackyardSentinel.Infection;

/// <summary>The rules that judge side by side.</summary>
public static class InfectionRules
{
    /// <summary>Every rule and variant of the site, for one planting.</summary>
    public static InfectionRule[] All(Site site, string planting) =>
    [
        .. site.Rules.Select(limits => Of(limits, site, planting)),
        .. site.Variants.Select(variant =>
            Of(site.Rules.First(limits => limits.Rule == variant.Of), site, planting).As(variant, site.Zone)),
    ];

    /// <summary>The rule of a set of limits, for one planting.</summary>
    public static InfectionRule Of(RuleLimits limits, Site site, string planting) => limits.Rule switch
    {
        RuleName.WetHours => new WetHoursRule(planting, (WetHoursLimits)limits),
        RuleName.RainDay => new RainDayRule(planting, site.Zone, site.HasRainGauge, (RainDayLimits)limits),
        RuleName.TwoDay => new TwoDayRule(planting, (TwoDayLimits)limits),
    };
}
