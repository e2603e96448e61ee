using BackyardSentinel.Infection;

namespace BackyardSentinel.Tuning;

/// <summary>What the rules made of one wet spell, side by side, for plantings of which they said the same.</summary>
/// <param name="Spell">The wet spell; <c>null</c>: windows that opened outside one.</param>
/// <param name="From">Its beginning, or the first window's opening, UTC.</param>
/// <param name="To">Its end, or the last window's closing, UTC.</param>
/// <param name="Plantings">The plantings.</param>
/// <param name="Verdicts">Each rule's verdict, in the site's order.</param>
public sealed record SpellVerdicts(
    WetSpell? Spell,
    DateTimeOffset From,
    DateTimeOffset To,
    IReadOnlyList<string> Plantings,
    IReadOnlyList<RuleVerdict> Verdicts)
{
    /// <summary>How many rules that can judge it opened a window.</summary>
    public int Opened => Verdicts.Count(verdict => verdict is { Judges: true, OpenedAt: not null });

    /// <summary>The rules part: of those that can judge it some opened a window and some did not.</summary>
    public bool Parts => Opened > 0 && Verdicts.Any(verdict => verdict is { Judges: true, OpenedAt: null });
}

/// <summary>What one rule made of one wet spell.</summary>
/// <param name="Rule">The rule's name.</param>
/// <param name="Judges">It has what it needs to judge at all.</param>
/// <param name="OpenedAt">When its first window opened, UTC; <c>null</c>: none did.</param>
/// <param name="Level">The highest level; <c>null</c>: none opened, or a rain shelter kept it off.</param>
/// <param name="Why">Why nothing opened, in a few words; <c>null</c>: a window did.</param>
public sealed record RuleVerdict(string Rule, bool Judges, DateTimeOffset? OpenedAt, Level? Level, string? Why);
