using BackyardSentinel.Garden;

namespace BackyardSentinel.Tuning;

/// <summary>A rule's limits together with those of the wet spells that it judges: what tuning varies.</summary>
/// <param name="Spell">What makes a wet spell.</param>
/// <param name="Rule">The rule's limits.</param>
public sealed record LimitSet(WetSpellLimits Spell, RuleLimits Rule)
{
    /// <summary>The limits that hold at a site on a day.</summary>
    /// <param name="site">The site.</param>
    /// <param name="rule">The name of a rule or variant.</param>
    /// <param name="day">The local day.</param>
    public static LimitSet Of(Site site, string rule, DateOnly day) => new(site.Spell, site.LimitsOf(rule, day));

    /// <summary>The site as it is judged when these limits give the level.</summary>
    /// <param name="site">The site.</param>
    public Site At(Site site) => site with
    {
        Spell = Spell,
        Rules = [.. site.Rules.Select(limits => limits.Rule == Rule.Rule ? Rule : limits)],
        Variants = [],
        LevelRule = Rule.Rule.Word(),
    };
}
