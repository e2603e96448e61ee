using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Tuning;

namespace BackyardSentinel;

/// <summary>Notes beside a watch why each rule opened nothing in a wet spell, and sets the rules side by side at the end.</summary>
/// <param name="site">The site watched.</param>
public sealed class RuleComparison(Site site)
{
    private readonly List<(WetSpell Spell, IReadOnlyDictionary<(string Planting, string Rule), string?> Short)> _spells = [];

    /// <summary>A wet spell is over; to be told before the rules see the next one.</summary>
    /// <param name="spell">The spell.</param>
    /// <param name="watch">The watch.</param>
    public void Note(WetSpell spell, SiteWatch watch) => _spells.Add((
        spell,
        watch.Plantings
            .SelectMany(planting => planting.RulesUnderOpenSky.Select(rule => (
                Key: (planting.Planting.Id, rule.Name),
                Why: rule.Shortfall(spell, site.Units) ?? (planting.Susceptibility > 0 ? null : "on tissue that could not be infected"))))
            .ToDictionary(one => one.Key, one => one.Why)));

    /// <summary>The verdicts on all that was noted, by time: a row for each wet spell, and for each moment at which windows opened
    /// outside one.</summary>
    /// <param name="windows">All windows, those that a rain shelter kept off among them.</param>
    public IReadOnlyList<SpellVerdicts> Of(IReadOnlyList<InfectionWindow> windows)
    {
        var bySpell = windows.ToLookup(SpellOf);
        return
        [
            .. _spells
                .SelectMany((noted, i) => Rows(noted.Spell, [.. bySpell[i]], (planting, rule) => noted.Short[(planting, rule)]))
                .Concat(bySpell[-1]
                    .GroupBy(window => window.OpenedAt)
                    .SelectMany(moment => Rows(null, [.. moment], (_, _) => "no wet spell")))
                .OrderBy(row => row.From),
        ];
    }

    /// <summary>A window belongs to the last spell that began before it opened, unless that was over for longer than its gap.</summary>
    private int SpellOf(InfectionWindow window)
    {
        var at = _spells.FindLastIndex(noted => noted.Spell.Start < window.OpenedAt);
        return at >= 0 && window.OpenedAt <= _spells[at].Spell.End + site.Spell.LongestGap ? at : -1;
    }

    private IEnumerable<SpellVerdicts> Rows(WetSpell? spell, List<InfectionWindow> windows, Func<string, string, string?> why)
    {
        var plantings = spell is null
            ? site.Plantings.Where(planting => windows.Exists(window => window.Planting == planting.Id))
            : site.Plantings;
        return plantings
            .Select(planting => (planting.Id, Verdicts: site.RuleNames.Select(rule => Verdict(rule, planting.Id)).ToList()))
            .GroupBy(one => string.Join('\n', one.Verdicts))
            .Select(alike => new SpellVerdicts(
                spell,
                spell?.Start ?? windows.Min(window => window.OpenedAt),
                spell?.End ?? windows.Max(window => window.ClosedAt ?? window.OpenedAt),
                [.. alike.Select(one => one.Id)],
                alike.First().Verdicts));

        RuleVerdict Verdict(string rule, string planting)
        {
            var own = windows.FindAll(window => window.Rule == rule && window.Planting == planting);
            var judges = site.HasRainGauge || site.RuleOf(rule) != RuleName.RainDay;
            return own.Count == 0
                ? new RuleVerdict(rule, judges, null, null, why(planting, rule) ?? "not on tissue that could be infected")
                : new RuleVerdict(
                    rule,
                    judges,
                    own.Min(window => window.OpenedAt),
                    own.Exists(window => !window.Sheltered) ? own.Where(window => !window.Sheltered).Max(window => window.Level) : null,
                    null);
        }
    }
}
