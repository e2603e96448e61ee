using System.Text.Json.Serialization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Contract;

/// <summary>tune --json: a rule's limits varied over recorded seasons and scored against scouting.</summary>
/// <param name="Site">The site.</param>
/// <param name="Rule">The rule whose limits were varied, or the name of a variant.</param>
/// <param name="VariantOf">The rule that judges.</param>
/// <param name="Varied">The keys that were varied.</param>
/// <param name="Level">Only windows that come to this level count.</param>
/// <param name="MissCost">What a miss costs, in false alarms.</param>
/// <param name="Sets">Sets of limits that were tried.</param>
/// <param name="Seasons">Seasons with scouting that can be judged.</param>
/// <param name="Years">The years of their springs.</param>
/// <param name="VerifiedWindows">Windows by the present limits that scouting made a hit or a false alarm.</param>
/// <param name="Looks">Looks that tell something: up to the first of a season that found curl.</param>
/// <param name="LooksWithCurl">Of these, looks that found curl.</param>
/// <param name="LooksLeftOut">Looks of which nothing can be learnt: too little was measured, or nothing could be infected.</param>
/// <param name="LooksNeeded">How many looks it takes, by what is known so far; null: there are enough, or no number can be told.</param>
/// <param name="Recommended">The limits found are worth taking.</param>
/// <param name="Why">Why, or why not.</param>
/// <param name="Now">The present limits.</param>
/// <param name="Best">The limits that would have cost least over all seasons.</param>
/// <param name="Scores">What scouting makes of them.</param>
/// <param name="SavedASeason">By how much the left-out score cost less than the present limits, a season, in false alarms.</param>
/// <param name="LeftOut">Season by season, what was found without it.</param>
/// <param name="TradeOff">What the sets can come to.</param>
/// <param name="RuleBlock">YAML for the garden file.</param>
/// <param name="Change">What the limits found would have changed in the last season; null: nothing, or there is no phone.</param>
/// <param name="Findings">What the reader should know.</param>
[SchemaFile("tune")]
public sealed record TuneDocument(
    string Site,
    [Pattern(RuleNames.Form)] string Rule,
    RuleName VariantOf,
    IEnumerable<string> Varied,
    Level Level,
    [Bounds(0)] double MissCost,
    [Bounds(1)] int Sets,
    [Bounds(0)] int Seasons,
    IReadOnlyList<int> Years,
    [Bounds(0)] int VerifiedWindows,
    [Bounds(0)] int Looks,
    [Bounds(0)] int LooksWithCurl,
    [Bounds(0)] int LooksLeftOut,
    [Bounds(0)] int? LooksNeeded,
    bool Recommended,
    string Why,
    TunedLimits Now,
    TunedLimits Best,
    TunedScores Scores,
    TunedFigure SavedASeason,
    IEnumerable<TunedSeason> LeftOut,
    IEnumerable<TunedPair> TradeOff,
    string RuleBlock,
    TunedChange? Change,
    IReadOnlyList<string> Findings);

/// <summary>A set of limits; those that a rule does not have are left out.</summary>
/// <param name="RainMm">Rain: of wet-hours the least of a spell, of rain-day what the day must exceed, mm.</param>
/// <param name="WetHours">Least wet time, h.</param>
/// <param name="MaxTempC">Highest temperature, °C.</param>
/// <param name="MinTempC">Lowest temperature, of rain-day of the day's highest, °C.</param>
/// <param name="FullWetHours">Wet time from which more adds next to nothing to the level, h.</param>
/// <param name="FullTempC">Mean from which cooler adds next to nothing to the level, °C.</param>
/// <param name="RuleHumidityPct">Humidity from which the rule counts an hour that is not wet, %.</param>
/// <param name="RuleGapH">The longest break that the rule's own stretch survives, h.</param>
/// <param name="DryGapH">How long it may be dry within a wet spell, h.</param>
/// <param name="HumidityPct">Humidity from which leaves count as wet, %.</param>
/// <param name="Estimator">How wetness is judged without a sensor.</param>
/// <param name="StartOn">What starts a wet spell: rain or wet.</param>
public sealed record TunedLimits(
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? RainMm,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? WetHours,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? MaxTempC,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? MinTempC,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? FullWetHours,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? FullTempC,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? RuleHumidityPct,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? RuleGapH,
    double DryGapH,
    double HumidityPct,
    string Estimator,
    string StartOn);

/// <summary>The scores.</summary>
/// <param name="Now">The present limits, all seasons.</param>
/// <param name="Best">The limits found, on the seasons that they were found in.</param>
/// <param name="LeftOut">Limits found without a season, in that season; all seasons in sum.</param>
public sealed record TunedScores(TunedScore Now, TunedScore Best, TunedScore LeftOut);

/// <summary>Counts of forecast verification, and what follows from them.</summary>
/// <param name="Hits">Windows after which curl was found.</param>
/// <param name="Misses">Curl that came out without a window that can have brought it.</param>
/// <param name="FalseAlarms">Windows after which none was found on a tree that was not covered.</param>
/// <param name="Unverified">Windows of which nothing is known.</param>
/// <param name="CorrectNegatives">Looks that found none and belong to no window.</param>
/// <param name="Pod">Probability of detection.</param>
/// <param name="Far">False alarm ratio.</param>
/// <param name="Csi">Critical success index.</param>
/// <param name="Peirce">Peirce skill score.</param>
public sealed record TunedScore(
    [Bounds(0)] int Hits,
    [Bounds(0)] int Misses,
    [Bounds(0)] int FalseAlarms,
    [Bounds(0)] int Unverified,
    [Bounds(0)] int CorrectNegatives,
    TunedFigure Pod,
    TunedFigure Far,
    TunedFigure Csi,
    TunedFigure Peirce);

/// <summary>A figure with the middle 95 of 100 of it over seasons drawn again and again.</summary>
/// <param name="Value">The figure; null: it would divide by nothing.</param>
/// <param name="Low">Its lower end; null: too few seasons.</param>
/// <param name="High">Its upper end.</param>
public sealed record TunedFigure(double? Value, double? Low, double? High);

/// <summary>A season that was left out.</summary>
/// <param name="Year">The year of its spring.</param>
/// <param name="Found">The limits found without it.</param>
/// <param name="Hits">Hits in it.</param>
/// <param name="Misses">Misses in it.</param>
/// <param name="FalseAlarms">False alarms in it.</param>
public sealed record TunedSeason(int Year, TunedLimits Found, [Bounds(0)] int Hits, [Bounds(0)] int Misses, [Bounds(0)] int FalseAlarms);

/// <summary>A pair of scores that sets of the grid come to, with one such set.</summary>
/// <param name="Pod">Probability of detection.</param>
/// <param name="Far">False alarm ratio.</param>
/// <param name="Set">The first such set of the grid.</param>
public sealed record TunedPair([Bounds(0, 1)] double Pod, [Bounds(0, 1)] double Far, TunedLimits Set);

/// <summary>What the limits found would have changed in the last season, had they given the level.</summary>
/// <param name="Year">The year of its spring.</param>
/// <param name="WindowsCome">Windows that would have opened besides.</param>
/// <param name="WindowsGo">Windows that would not have opened.</param>
/// <param name="MessagesCome">Messages that would have come besides.</param>
/// <param name="MessagesGo">Messages that would not have come.</param>
public sealed record TunedChange(
    int Year,
    IEnumerable<TunedWindow> WindowsCome,
    IEnumerable<TunedWindow> WindowsGo,
    IEnumerable<TunedMessage> MessagesCome,
    IEnumerable<TunedMessage> MessagesGo);

/// <summary>A window that comes or goes.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="OpenedAt">When it opened, UTC.</param>
/// <param name="Level">The highest level it reached.</param>
public sealed record TunedWindow(string Planting, DateTimeOffset OpenedAt, Level Level);

/// <summary>A message that comes or goes.</summary>
/// <param name="At">When, UTC.</param>
/// <param name="Kind">Its occasion.</param>
/// <param name="Title">Its title.</param>
public sealed record TunedMessage(DateTimeOffset At, string Kind, string Title);
