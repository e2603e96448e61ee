using System.Text.Json.Serialization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;

namespace BackyardSentinel.Contract;

/// <summary>replay --json: recorded logs, judged.</summary>
/// <param name="Log">The files.</param>
/// <param name="Site">The site.</param>
/// <param name="Rows">Rows read.</param>
/// <param name="Rejected">The first 1,000 rows or values not taken.</param>
/// <param name="RejectedCount">How many there were in all.</param>
/// <param name="Intervals">Intervals judged.</param>
/// <param name="Spells">Wet spells by start.</param>
/// <param name="Windows">Infection windows by opening.</param>
/// <param name="Stages">Bud stages in their order.</param>
/// <param name="MayBeOpen">Spans in which the leaf buds may have been open, and were judged as open.</param>
/// <param name="Alerts">Messages that would have gone out.</param>
/// <param name="Findings">What the reader should know.</param>
/// <param name="WhatIf">What would have been, had a spray been done on another day; left out where that is not asked.</param>
/// <param name="Compared">The rules side by side; left out where that is not asked.</param>
[SchemaFile("replay")]
public sealed record ReplayDocument(
    IReadOnlyList<string> Log,
    string Site,
    [Bounds(0)] long Rows,
    IEnumerable<ReplayedRejection> Rejected,
    [Bounds(0)] long RejectedCount,
    [Bounds(0)] long Intervals,
    IEnumerable<WetSpellFigures> Spells,
    IEnumerable<ReplayedWindow> Windows,
    IEnumerable<ReplayedStage> Stages,
    IEnumerable<ReplayedSpan> MayBeOpen,
    IEnumerable<ReplayedAlert> Alerts,
    IReadOnlyList<string> Findings,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] ReplayedWhatIf? WhatIf = null,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] ReplayedComparison? Compared = null);

/// <summary>A row or value that was not taken.</summary>
/// <param name="Log">The file, where several were read.</param>
/// <param name="Line">Line in the file; null in a store, which has none.</param>
/// <param name="Reason">Why.</param>
public sealed record ReplayedRejection(
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] string? Log,
    [Bounds(1)] long? Line,
    string Reason);

/// <summary>An infection window.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="Rule">The rule, or the name of a variant.</param>
/// <param name="OpenedAt">When all conditions held, UTC.</param>
/// <param name="ClosedAt">When it ended, UTC; null: the readings end before it does.</param>
/// <param name="Level">The highest level reached; null: sheltered.</param>
/// <param name="Dose">Assumed dose; wet-hours only.</param>
/// <param name="WetHours">Wet time, h.</param>
/// <param name="RainMm">Rain, mm.</param>
/// <param name="MeanTempC">Mean over wet time, °C.</param>
/// <param name="Stage">Bud stage, BBCH code of stone fruit.</param>
/// <param name="Cover">What was left of a spray; null without a journal.</param>
/// <param name="Uncertain">Too much of the weather is unknown.</param>
/// <param name="NoRainGauge">Judged without a rain gauge.</param>
/// <param name="Sheltered">A rain shelter kept it off: the open sky would have given it; it has no level and no dose.</param>
public sealed record ReplayedWindow(
    string Planting,
    [Pattern(RuleNames.Form)] string Rule,
    DateTimeOffset OpenedAt,
    DateTimeOffset? ClosedAt,
    Level? Level,
    [Bounds(0, 1)] double? Dose,
    [Bounds(0)] double? WetHours,
    [Bounds(0)] double? RainMm,
    [Bounds(Quantities.MinTemperatureC, Quantities.MaxTemperatureC)] double? MeanTempC,
    [Bounds(0, 99)] int? Stage,
    Cover? Cover,
    bool Uncertain,
    bool NoRainGauge,
    bool Sheltered);

/// <summary>A bud stage.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="Code">Bud stage, BBCH code of stone fruit.</param>
/// <param name="On">Local day.</param>
/// <param name="Source">Where it is known from.</param>
/// <param name="Early">Local day for an early tree.</param>
/// <param name="Late">Local day for a late tree.</param>
public sealed record ReplayedStage(
    string Planting,
    [Bounds(0, 99)] int Code,
    DateOnly On,
    StageSource Source,
    DateOnly? Early,
    DateOnly? Late);

/// <summary>A span in which leaf buds may have been open.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="From">First local day.</param>
/// <param name="To">Local day from which they were known to be open or shut, or the season was over; null: the log ended first.</param>
public sealed record ReplayedSpan(string Planting, DateOnly From, DateOnly? To);

/// <summary>A message that would have gone out.</summary>
/// <param name="Id">The same at every attempt and after a restart.</param>
/// <param name="At">When it was released, UTC.</param>
/// <param name="Kind">What it tells of.</param>
/// <param name="Plantings">The plantings it is about, the most urgent first; empty: about none.</param>
/// <param name="Level">The level it tells.</param>
/// <param name="Urgency">How urgent it is.</param>
/// <param name="Title">One line.</param>
/// <param name="Text">The whole text.</param>
public sealed record ReplayedAlert(
    [Pattern(@"^[!-\-/-~]+$")] string Id,
    DateTimeOffset At,
    [SaidBy(typeof(Occasion), nameof(Occasion.Kind), BackyardSentinel.Alerting.Alert.SummaryKind)] string Kind,
    [Distinct] IReadOnlyList<string> Plantings,
    Level? Level,
    Urgency Urgency,
    string Title,
    string Text);

/// <summary>Whether the trees would have been covered, had a spray been done on another day.</summary>
/// <param name="SprayedOn">The local day asked about.</param>
/// <param name="InsteadOf">The local day that the journal has; null: the spray is added.</param>
/// <param name="Sprays">The sprays asked about.</param>
/// <param name="Answer">The answer in one sentence.</param>
/// <param name="Windows">The windows of the rule that gives the level, on these plantings.</param>
/// <param name="Notes">What to bear in mind, a sentence each.</param>
public sealed record ReplayedWhatIf(
    DateOnly SprayedOn,
    DateOnly? InsteadOf,
    IEnumerable<ReplayedSpray> Sprays,
    string Answer,
    IEnumerable<ReplayedCover> Windows,
    IReadOnlyList<string> Notes);

/// <summary>A spray that is asked about.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="Product">The product.</param>
public sealed record ReplayedSpray(string Planting, string Product);

/// <summary>The cover on a tree when an infection window opened.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="OpenedAt">When it opened, UTC.</param>
/// <param name="Level">The highest level it reached.</param>
/// <param name="Was">What was left of a spray by the journal as it is.</param>
/// <param name="Then">What would have been left.</param>
/// <param name="Answer">The same in a few words.</param>
public sealed record ReplayedCover(string Planting, DateTimeOffset OpenedAt, Level Level, Cover Was, Cover Then, string Answer);

/// <summary>The rules side by side.</summary>
/// <param name="Rules">Each rule and variant.</param>
/// <param name="Spells">What they made of each wet spell, and of each moment at which windows opened outside one, by time.</param>
public sealed record ReplayedComparison(IEnumerable<ReplayedRule> Rules, IEnumerable<ReplayedVerdicts> Spells);

/// <summary>A rule's windows, counted.</summary>
/// <param name="Rule">The rule, or the name of a variant.</param>
/// <param name="VariantOf">The rule that it is a variant of; null: it is none.</param>
/// <param name="Windows">How many it opened, without those that a rain shelter kept off.</param>
/// <param name="Scores">What scouting made of them; null: there is no journal.</param>
public sealed record ReplayedRule(
    [Pattern(RuleNames.Form)] string Rule, RuleName? VariantOf, [Bounds(0)] int Windows, ReplayedScores? Scores);

/// <summary>A rule's windows set against scouting; a score is null where its counts divide by nothing.</summary>
/// <param name="Hits">Windows after which curl was found.</param>
/// <param name="FalseAlarms">Windows after which none was found.</param>
/// <param name="Misses">Curl that came out without a window that can have brought it.</param>
/// <param name="Unverified">Windows nobody looked after, or whose tree a protectant may have kept clean.</param>
/// <param name="CorrectNegatives">Looks that found none and belong to no window.</param>
/// <param name="Pod">Probability of detection.</param>
/// <param name="Far">False alarm ratio.</param>
/// <param name="Csi">Critical success index.</param>
/// <param name="Peirce">Peirce skill score.</param>
public sealed record ReplayedScores(
    [Bounds(0)] int Hits,
    [Bounds(0)] int FalseAlarms,
    [Bounds(0)] int Misses,
    [Bounds(0)] int Unverified,
    [Bounds(0)] int CorrectNegatives,
    [Bounds(0, 1)] double? Pod,
    [Bounds(0, 1)] double? Far,
    [Bounds(0, 1)] double? Csi,
    [Bounds(-1, 1)] double? Peirce);

/// <summary>What the rules made of one wet spell, for plantings of which they said the same.</summary>
/// <param name="Start">Start of the spell, or when the first window opened, UTC.</param>
/// <param name="End">Its end, or when the last window closed, UTC.</param>
/// <param name="Spell">The wet spell; null: the windows opened outside one.</param>
/// <param name="Plantings">The plantings.</param>
/// <param name="Parts">Of the rules that can judge it some opened a window and some did not.</param>
/// <param name="Verdicts">Each rule's verdict.</param>
public sealed record ReplayedVerdicts(
    DateTimeOffset Start,
    DateTimeOffset End,
    WetSpellFigures? Spell,
    [Distinct] IReadOnlyList<string> Plantings,
    bool Parts,
    IEnumerable<ReplayedVerdict> Verdicts);

/// <summary>What one rule made of one wet spell.</summary>
/// <param name="Rule">The rule, or the name of a variant.</param>
/// <param name="Judges">It has what it needs to judge.</param>
/// <param name="OpenedAt">When its first window opened, UTC; null: none did.</param>
/// <param name="Level">The highest level; null: none opened, or a rain shelter kept it off.</param>
/// <param name="Why">Why none opened, in a few words.</param>
public sealed record ReplayedVerdict(
    [Pattern(RuleNames.Form)] string Rule, bool Judges, DateTimeOffset? OpenedAt, Level? Level, string? Why);
