using BackyardSentinel.Garden;

namespace BackyardSentinel.Tuning;

/// <summary>A rule's limits together with those of the wet spells that it judges: what tuning varies.</summary>
/// <param name="Spell">What makes a wet spell.</param>
/// <param name="Rule">The rule's limits.</param>
public sealed record LimitSet(WetSpellLimits Spell, RuleLimits Rule)
{
    /// <summary>The limits that hold at a site now.</summary>
    /// <param name="site">The site.</param>
    /// <param name="rule">The rule.</param>
    public static LimitSet Of(Site site, RuleName rule) => new(site.Spell, site.Rules.First(limits => limits.Rule == rule));
}
