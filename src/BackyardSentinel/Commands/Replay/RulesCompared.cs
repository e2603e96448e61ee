using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Scouting;
using BackyardSentinel.Tuning;

namespace BackyardSentinel.Commands.Replay;

/// <summary>The rules side by side on one log.</summary>
/// <param name="Rules">Each rule and variant with its windows, and what scouting made of them.</param>
/// <param name="Spells">The verdicts on each wet spell, by time.</param>
public sealed record RulesCompared(IReadOnlyList<RuleCompared> Rules, IReadOnlyList<SpellVerdicts> Spells)
{
    /// <summary>Sets the rules side by side.</summary>
    /// <param name="site">The site as it was judged.</param>
    /// <param name="noted">What each rule made of each wet spell.</param>
    /// <param name="windows">Every window.</param>
    /// <param name="sheltered">Those that a rain shelter kept off.</param>
    /// <param name="judged">From when until when anything was judged, UTC; <c>null</c>: nothing was.</param>
    /// <param name="unknown">When the level of a planting was not known.</param>
    /// <param name="days">Each planting's days of infection and curl.</param>
    /// <param name="journal">The journal; <c>null</c>: there is none.</param>
    internal static RulesCompared Of(
        Site site,
        RuleComparison noted,
        IReadOnlyList<InfectionWindow> windows,
        IReadOnlyList<InfectionWindow> sheltered,
        (DateTimeOffset From, DateTimeOffset To)? judged,
        IReadOnlyList<UnknownStretch> unknown,
        IReadOnlyDictionary<string, SymptomDays> days,
        IReadOnlyList<JournalEntry>? journal)
    {
        var calendar = new SeasonCalendar(site.LatitudeDeg);
        return new RulesCompared([.. site.RuleNames.Select(Rule)], noted.Of([.. windows, .. sheltered]));

        RuleCompared Rule(string name)
        {
            var own = windows.Where(window => window.Rule == name).ToList();
            return new RuleCompared(
                name,
                site.VariantOf(name),
                own.Count,
                journal is null
                    ? null
                    : new Verification(
                        own,
                        // A planting that is not in the garden has no windows, and blames no rule.
                        journal.OfType<ScoutEntry>().Where(entry => entry.Site == site.Id && site.Has(entry.Planting)),
                        site.Zone,
                        day => calendar.SeasonOf(day)?.Year ?? day.Year,
                        planting => days[planting],
                        WasMeasured));
        }

        bool WasMeasured(ScoutEntry look) => judged is var (from, to) && Looks.WasMeasured(
            look.On,
            site.Zone,
            from,
            to,
            unknown.Where(stretch => stretch.Planting == look.Planting).Select(stretch => (stretch.From, stretch.To)));
    }
}

/// <summary>One rule on one log.</summary>
/// <param name="Name">Its name.</param>
/// <param name="VariantOf">The rule that it is a variant of; <c>null</c>: it is none.</param>
/// <param name="Windows">How many windows it opened, those that a rain shelter kept off left out.</param>
/// <param name="Verified">What scouting made of them; <c>null</c>: there is no journal.</param>
public sealed record RuleCompared(string Name, RuleName? VariantOf, int Windows, Verification? Verified);
