using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;
using BackyardSentinel.Tuning;

namespace BackyardSentinel.Commands.Tune;

/// <summary>What is varied, and how it is scored.</summary>
/// <param name="Rule">The name of a rule or variant.</param>
/// <param name="Vary">Keys of limits, or <c>all</c>; none: the usual ones.</param>
/// <param name="MissCost">What a miss costs, in false alarms.</param>
/// <param name="Level">Only windows that come to this level count.</param>
internal sealed record TuneChoice(string Rule, IReadOnlyList<string> Vary, double MissCost, Level Level)
{
    /// <summary>The limits that are varied.</summary>
    /// <param name="site">The site as it is judged.</param>
    /// <exception cref="LogProblemException">There is no such rule or limit, or it cannot be scored so.</exception>
    public IReadOnlyList<LimitAxis> Axes(Site site)
    {
        if (!site.RuleNames.Contains(Rule))
            throw new LogProblemException(
                $"--rule: there is no rule \"{LogExcerpt.Of(Rule)}\" here; there are {string.Join(", ", site.RuleNames)}.");
        var all = LimitAxis.All(site.RuleOf(Rule));
        if (Vary.FirstOrDefault(word => word != "all" && all.All(axis => axis.Word != word)) is { } unknown)
            throw new LogProblemException(
                $"--vary: the rule {Rule} has no limit \"{LogExcerpt.Of(unknown)}\" to vary; "
                + $"it has {string.Join(", ", all.Select(axis => axis.Word))}.");
        var chosen = Vary.Count == 0 ? all.Take(LimitAxis.Usual(site.RuleOf(Rule)))
            : Vary.Contains("all") ? all.Where(axis => !axis.MovesLevelsOnly || Level > Level.Possible)
            : all.Where(axis => Vary.Contains(axis.Word));
        if (Level == Level.Possible && chosen.FirstOrDefault(axis => axis.MovesLevelsOnly) is { } moves)
            throw new LogProblemException(
                $"--vary: {moves.Word} moves levels and opens no window, so scouting says nothing of it; "
                + "with --level likely or --level severe only windows of that level count, and it can be scored.");
        // Without a gauge no amount of rain is asked for, and wetness starts every spell.
        var kept = chosen.Where(axis => site.HasRainGauge || axis.Word is not ("rain" or "start_on")).ToList();
        return kept.Count > 0
            ? kept
            : throw new LogProblemException($"--vary: the log has no rain value, so {string.Join(" and ", Vary)} cannot be varied.");
    }
}
