using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Contract;

/// <summary>sentinel/SITE/PLANTING/risk: the level of one planting.</summary>
/// <param name="Level">The level; unknown where data are missing.</param>
/// <param name="LevelNumber">The level as a number: unknown -1, clear 0 to severe 4.</param>
/// <param name="Since">When the level began, UTC; null before the first interval.</param>
/// <param name="Rule">The rule, or variant of one, that gives the level.</param>
/// <param name="Spell">The wet spell that runs now; null between spells.</param>
/// <param name="Opinions">The level by each rule and variant; empty before the first interval.</param>
/// <param name="Stage">Bud stage, BBCH code: seen, computed or fixed; null where none is known.</param>
/// <param name="StageSure">Whether the leaf buds are known to be shut or open; where not, they are judged as open.</param>
/// <param name="Cover">What is left of a spray; null without a journal.</param>
/// <param name="AsOf">End of the last interval judged, UTC; null before the first.</param>
/// <param name="Sheltered">A rain shelter is over it: rain does not count.</param>
/// <param name="Uncertain">More than a tenth of the weather behind it is missing.</param>
[SchemaFile("risk")]
public sealed record RiskTopic(
    Level Level,
    [NumberOf(nameof(Level))] int LevelNumber,
    DateTimeOffset? Since,
    [Pattern(RuleNames.Form)] string Rule,
    RunningSpell? Spell,
    [Pattern(RuleNames.Form)] IReadOnlyDictionary<string, Level> Opinions,
    [Bounds(0, 99)] int? Stage,
    bool StageSure,
    Cover? Cover,
    DateTimeOffset? AsOf,
    bool Sheltered,
    bool Uncertain);

/// <summary>A wet spell that runs.</summary>
/// <param name="Start">Start of the first wet interval, UTC.</param>
/// <param name="WetHours">Wet time so far, h.</param>
/// <param name="RainMm">Rain of it so far, mm.</param>
/// <param name="MeanTempC">Mean over wet time, °C.</param>
/// <param name="NoRainGauge">Judged without a rain gauge.</param>
public sealed record RunningSpell(
    DateTimeOffset Start,
    [Bounds(0)] double WetHours,
    [Bounds(0)] double RainMm,
    [Bounds(Quantities.MinTemperatureC, Quantities.MaxTemperatureC)] double? MeanTempC,
    bool NoRainGauge);
