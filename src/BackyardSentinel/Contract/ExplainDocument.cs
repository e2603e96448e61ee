using System.Text.Json.Serialization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;

namespace BackyardSentinel.Contract;

/// <summary>explain --json: why the level is what it is.</summary>
/// <param name="AsOf">The moment explained, UTC.</param>
/// <param name="Sites">The sites.</param>
[SchemaFile("explain")]
public sealed record ExplainDocument(DateTimeOffset AsOf, IReadOnlyList<ExplainedSite> Sites);

/// <summary>A site.</summary>
/// <param name="Site">The site.</param>
/// <param name="Answer">How its plantings stand, in one sentence.</param>
/// <param name="Spell">The wet spell that runs; null: none.</param>
/// <param name="Readings">The last reading of each quantity.</param>
/// <param name="Missing">What the site lacks.</param>
/// <param name="Plantings">The plantings.</param>
public sealed record ExplainedSite(
    string Site,
    string Answer,
    WetSpellFigures? Spell,
    IReadOnlyList<ExplainedReading> Readings,
    IReadOnlyList<string> Missing,
    IReadOnlyList<ExplainedPlanting> Plantings);

/// <summary>A reading.</summary>
/// <param name="Quantity">What is measured.</param>
/// <param name="Value">Its value: °C, %, mm, m/s, or the leaf sensor's own scale; null: nothing came yet.</param>
/// <param name="Time">Its time, UTC.</param>
/// <param name="AgeMinutes">How old it is, min.</param>
public sealed record ExplainedReading(Quantity Quantity, double? Value, DateTimeOffset? Time, double? AgeMinutes);

/// <summary>A planting.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="Level">The level.</param>
/// <param name="LevelNumber">unknown -1, clear 0 to severe 4.</param>
/// <param name="Since">When it began, UTC.</param>
/// <param name="Rule">The rule that gives it.</param>
/// <param name="FractionReached">While building: share of the least that is reached.</param>
/// <param name="Uncertain">Too much of the weather is unknown.</param>
/// <param name="Stage">The bud stage.</param>
/// <param name="Susceptibility">How far the tissue can be infected.</param>
/// <param name="Tissue">The same as a sentence.</param>
/// <param name="BudSwell">When the leaf buds will swell; null: not known or past.</param>
/// <param name="Shelter">The rain shelter that is on; null: none is.</param>
/// <param name="Rules">Each rule.</param>
/// <param name="Cover">What is left of a spray.</param>
/// <param name="RainSinceSprayMm">Rain since the last spray, mm.</param>
/// <param name="Fruit">What the wet spell means for fruit; null before petal fall.</param>
/// <param name="Incubations">Windows whose curl may show.</param>
/// <param name="Windows">Windows open now.</param>
/// <param name="Change">What would change the level.</param>
/// <param name="Missing">What the planting lacks.</param>
public sealed record ExplainedPlanting(
    string Planting,
    Level Level,
    [NumberOf(nameof(Level))] int LevelNumber,
    DateTimeOffset? Since,
    [Pattern(RuleNames.Form)] string Rule,
    [Bounds(0, 1)] double? FractionReached,
    bool Uncertain,
    ExplainedStage Stage,
    [Bounds(0, 1)] double Susceptibility,
    string Tissue,
    BudSwellDays? BudSwell,
    ExplainedShelter? Shelter,
    IReadOnlyList<ExplainedRule> Rules,
    Cover Cover,
    [Bounds(0)] double? RainSinceSprayMm,
    string? Fruit,
    IReadOnlyList<ExplainedIncubation> Incubations,
    IReadOnlyList<string> Windows,
    IReadOnlyList<string> Change,
    IReadOnlyList<string> Missing);

/// <summary>A bud stage.</summary>
/// <param name="Code">Bud stage, BBCH code of stone fruit.</param>
/// <param name="Source">Where it is known from.</param>
/// <param name="Buds">Whether the leaf buds are shut, may be open or are open.</param>
/// <param name="SwellEarliest">Local day on which the leaf buds of the earliest tree that the needs allow began to swell.</param>
/// <param name="SwellExpected">The same of the expected tree.</param>
/// <param name="SwellLatest">The same of the latest tree.</param>
/// <param name="ChillSum">Chill so far, in the unit of the need.</param>
/// <param name="ChillNeed">Chill needed: portions, units or hours as the garden file says.</param>
/// <param name="HeatSum">Warmth so far, degree hours above the base.</param>
/// <param name="Because">The same in sentences.</param>
public sealed record ExplainedStage(
    [Bounds(0, 99)] int? Code,
    [OneOf(typeof(ExplainedStage), nameof(ExplainedStage.Sources))] string Source,
    BudState Buds,
    DateOnly? SwellEarliest,
    DateOnly? SwellExpected,
    DateOnly? SwellLatest,
    double? ChillSum,
    [Bounds(0)] double? ChillNeed,
    [Bounds(0)] double? HeatSum,
    IReadOnlyList<string> Because)
{
    /// <summary>The source of a stage that the garden file fixes.</summary>
    public const string Fixed = "fixed";

    /// <summary>What <see cref="Source"/> may be.</summary>
    public static IReadOnlyList<string> Sources { get; } = [Fixed, .. Enum.GetValues<StageSource>().Select(source => source.Word())];
}

/// <summary>A rain shelter that is on.</summary>
/// <param name="OnSince">Local day on which it was put on, by the journal.</param>
/// <param name="OpenSkyLevel">The level that the open sky would give.</param>
/// <param name="KeptOff">When the windows by the driving rule opened that it has kept off since then, UTC.</param>
/// <param name="Spell">Its own wet spell, by the sensor under the shelter; null: none runs.</param>
/// <param name="Because">The same in sentences.</param>
public sealed record ExplainedShelter(
    DateOnly OnSince,
    Level? OpenSkyLevel,
    IReadOnlyList<DateTimeOffset> KeptOff,
    WetSpellFigures? Spell,
    IReadOnlyList<string> Because);

/// <summary>A rule.</summary>
/// <param name="Rule">The rule, or the name of a variant.</param>
/// <param name="VariantOf">The rule that it is a variant of; null: it is none.</param>
/// <param name="Level">Its level.</param>
/// <param name="Conditions">Its conditions.</param>
public sealed record ExplainedRule(
    [Pattern(RuleNames.Form)] string Rule,
    RuleName? VariantOf,
    Level Level,
    IReadOnlyList<ExplainedCondition> Conditions);

/// <summary>A rule's condition.</summary>
/// <param name="What">What is measured.</param>
/// <param name="Value">The figure.</param>
/// <param name="Unit">Its unit, such as mm, h or °C.</param>
/// <param name="Asked">What is asked.</param>
/// <param name="Met">It holds.</param>
/// <param name="Lack">How much more is asked, in the unit.</param>
public sealed record ExplainedCondition(
    string What,
    double? Value,
    string Unit,
    string Asked,
    bool Met,
    [property: JsonPropertyName("short")][Bounds(0)] double? Lack);

/// <summary>The weeks until a window's curl shows.</summary>
/// <param name="OpenedAt">When the window opened, UTC.</param>
/// <param name="PossibleFrom">Local day from which curl may show.</param>
/// <param name="LikelyFrom">Local day from which it is likely to.</param>
/// <param name="LikelyTo">Last local day on which it is likely to.</param>
/// <param name="PossibleTo">Last local day on which it may.</param>
/// <param name="DegreeDays">Degree-days so far, °C d.</param>
/// <param name="MayNotDevelop">A day was too warm for it.</param>
public sealed record ExplainedIncubation(
    DateTimeOffset OpenedAt,
    DateOnly PossibleFrom,
    DateOnly LikelyFrom,
    DateOnly LikelyTo,
    DateOnly PossibleTo,
    [Bounds(0)] double DegreeDays,
    bool MayNotDevelop);
