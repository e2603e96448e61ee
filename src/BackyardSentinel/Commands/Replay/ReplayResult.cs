using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Commands.Replay;

/// <summary>What a replay found.</summary>
/// <param name="Site">The site as it was judged.</param>
/// <param name="Logs">The files.</param>
/// <param name="Rows">Rows read, rejected ones included.</param>
/// <param name="Rejected">The first rows or values not taken, with their reasons.</param>
/// <param name="RejectedCount">How many there were in all.</param>
/// <param name="Intervals">Intervals judged.</param>
/// <param name="Spells">Wet spells by start.</param>
/// <param name="Windows">Infection windows by opening.</param>
/// <param name="Changes">Every change of level.</param>
/// <param name="Start">Start of the first interval; <c>null</c> without any reading.</param>
/// <param name="End">End of the last interval; <c>null</c> without any reading.</param>
public sealed record ReplayResult(
    Site Site,
    IReadOnlyList<string> Logs,
    long Rows,
    IReadOnlyList<RejectedRow> Rejected,
    long RejectedCount,
    long Intervals,
    IReadOnlyList<WetSpell> Spells,
    IReadOnlyList<InfectionWindow> Windows,
    IReadOnlyList<LevelChanged> Changes,
    DateTimeOffset? Start,
    DateTimeOffset? End)
{
    /// <summary>Windows that were open when the readings ended; their own end is where the readings end.</summary>
    public IReadOnlySet<InfectionWindow> OpenAtEnd { get; init; } = new HashSet<InfectionWindow>();

    /// <summary>What was made of the logs' headers, a sentence each; nothing is wrong with them.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>Bud stages seen or computed, in their order.</summary>
    public IReadOnlyList<BudStageReached> Stages { get; init; } = [];

    /// <summary>Windows that a rain shelter kept off: the open sky would have given them.</summary>
    public IReadOnlyList<InfectionWindow> Sheltered { get; init; } = [];

    /// <summary>Spans in which the leaf buds may have been open.</summary>
    public IReadOnlyList<MayBeOpenSpan> MayBeOpen { get; init; } = [];

    /// <summary>When to look at the shoots, and when a season was over.</summary>
    public IReadOnlyList<SentinelEvent> Care { get; init; } = [];

    /// <summary>The messages that would have gone to the phone.</summary>
    public IReadOnlyList<Alert> Alerts { get; init; } = [];

    /// <summary>Columns whose values cannot be right, a sentence each; they stand among <see cref="Findings"/> too.</summary>
    public IReadOnlyList<string> Doubts { get; init; } = [];

    /// <summary>What the reader should know about stages and journal, a sentence each.</summary>
    public IReadOnlyList<string> Findings { get; init; } = [];

    /// <summary>When a window closed, UTC; <c>null</c>: the readings end before that.</summary>
    public DateTimeOffset? ClosedAt(in InfectionWindow window) => OpenAtEnd.Contains(window) ? null : window.ClosedAt;

    /// <summary>What each rule made of each wet spell, to be set side by side.</summary>
    public RuleComparison? Comparison { get; init; }

    /// <summary>Each planting's days of infection and curl.</summary>
    public IReadOnlyDictionary<string, SymptomDays> SymptomDays { get; init; } = new Dictionary<string, SymptomDays>();

    /// <summary>The rules side by side; <c>null</c>: nobody asked.</summary>
    public RulesCompared? Compared { get; init; }

    /// <summary>The same with the rules side by side.</summary>
    /// <param name="journal">The journal; <c>null</c>: there is none.</param>
    public ReplayResult Compare(IReadOnlyList<JournalEntry>? journal) => this with
    {
        Compared = RulesCompared.Of(
            Site,
            Comparison!,
            Windows,
            Sheltered,
            Start is { } start && End is { } end ? (start, end) : null,
            UnknownStretch.Of(Changes, End),
            SymptomDays,
            journal),
    };

    /// <summary>What would have been, had a spray been done on another day; <c>null</c>: nobody asked.</summary>
    public WhatIf? If { get; init; }
}
