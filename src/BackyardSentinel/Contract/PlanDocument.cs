using System.Text.Json.Serialization;
using BackyardSentinel.Garden;
using BackyardSentinel.Planning;

namespace BackyardSentinel.Contract;

/// <summary>plan --json: the coming days.</summary>
/// <param name="AsOf">The moment of the plan, UTC.</param>
/// <param name="Answer">What to do next, in one sentence.</param>
/// <param name="Safety">Cautions for the garden's products, the label first.</param>
/// <param name="Forecast">The forecast used; null: none, or too old a one.</param>
/// <param name="Plantings">What stands with each planting.</param>
/// <param name="Slots">Times to spray.</param>
/// <param name="Refused">Times not to spray.</param>
/// <param name="Site">The site that is planned for.</param>
/// <param name="Mix">There when a mix was asked for and may be mixed.</param>
/// <param name="Notes">What the reader must know.</param>
/// <param name="Findings">What was wrong with the input.</param>
[SchemaFile("plan")]
public sealed record PlanDocument(
    DateTimeOffset AsOf,
    string Answer,
    [Bounds(1)] IReadOnlyList<string> Safety,
    PlanForecastSource? Forecast,
    IReadOnlyList<PlannedPlanting> Plantings,
    IReadOnlyList<PlannedSlot> Slots,
    IReadOnlyList<PlannedRefusal> Refused,
    string Site,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] PlannedMix? Mix,
    IReadOnlyList<string> Notes,
    IReadOnlyList<string> Findings);

/// <summary>Where a plan's forecast is from.</summary>
/// <param name="Source">Where it comes from.</param>
/// <param name="Issued">When it was made, UTC.</param>
/// <param name="Until">Its end, UTC.</param>
/// <param name="Attribution">The credit to be shown with it.</param>
/// <param name="Licence">The licence of the data.</param>
public sealed record PlanForecastSource(
    [Bounds(0)] string Source,
    DateTimeOffset Issued,
    DateTimeOffset Until,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)][Bounds(0)] string? Attribution,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)][Bounds(0)] string? Licence);

/// <summary>What stands with a planting.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="Stage">Bud stage, BBCH code of stone fruit.</param>
/// <param name="BudSwell">When the leaf buds will swell; null: not known or past.</param>
/// <param name="Cover">What is left of a spray.</param>
/// <param name="ShelteredSince">Local day since which a rain shelter is over it; null: none is.</param>
/// <param name="Due">What is due, the soonest first.</param>
/// <param name="Copper">Copper received.</param>
public sealed record PlannedPlanting(
    string Planting,
    [Bounds(0, 99)] int? Stage,
    BudSwellDays? BudSwell,
    Cover Cover,
    DateOnly? ShelteredSince,
    IReadOnlyList<PlannedDue> Due,
    CopperFigures Copper);

/// <summary>Something that is due.</summary>
/// <param name="What">What.</param>
/// <param name="By">Local day before which; null: no date can be given.</param>
/// <param name="Why">Why.</param>
public sealed record PlannedDue(DueTask What, DateOnly? By, string Why);

/// <summary>Copper received.</summary>
/// <param name="SeasonG">Copper of this season, g.</param>
/// <param name="SeasonKgPerHa">The same over the canopy area, kg/ha; null: canopy area not known.</param>
/// <param name="SevenYearKgPerHa">Of seven seasons over the canopy area, kg/ha; null likewise.</param>
/// <param name="SoilMgPerKg">Rise in the top 20 cm of soil if all of it got there, mg/kg; null likewise.</param>
/// <param name="UncountedSprays">Sprays of copper of these seasons that cannot be counted: it is more than the figures say.</param>
public sealed record CopperFigures(
    [Bounds(0)] double SeasonG,
    [Bounds(0)] double? SeasonKgPerHa,
    [Bounds(0)] double? SevenYearKgPerHa,
    [Bounds(0)] double? SoilMgPerKg,
    [Bounds(0)] int UncountedSprays);

/// <summary>A time to spray.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="Product">The product.</param>
/// <param name="Start">Start of its first hour, UTC.</param>
/// <param name="End">End of its last hour, UTC.</param>
/// <param name="Rank">1 for the best.</param>
/// <param name="Reasons">What speaks for and against it.</param>
public sealed record PlannedSlot(
    string Planting,
    string Product,
    DateTimeOffset Start,
    DateTimeOffset End,
    [Bounds(1)] int Rank,
    IReadOnlyList<string> Reasons);

/// <summary>A time not to spray.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="Product">The product.</param>
/// <param name="Start">From then, UTC.</param>
/// <param name="End">Until then, UTC.</param>
/// <param name="Reason">Why.</param>
public sealed record PlannedRefusal(string Planting, string Product, DateTimeOffset Start, DateTimeOffset End, string Reason);

/// <summary>A tank mix.</summary>
/// <param name="Product">The product.</param>
/// <param name="Plantings">For which plantings.</param>
/// <param name="WaterL">Water, L.</param>
/// <param name="ProductG">Product, g; of a product measured by weight.</param>
/// <param name="ProductMl">Product, mL; of a product measured by volume.</param>
/// <param name="Steps">How to mix it.</param>
/// <param name="Safety">What to mind.</param>
public sealed record PlannedMix(
    string Product,
    IReadOnlyList<string> Plantings,
    [Bounds(0)] double WaterL,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)][Bounds(0)] double? ProductG,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
        [InsteadOf(nameof(ProductG))]
        [Bounds(0)]
        double? ProductMl,
    IReadOnlyList<string> Steps,
    IReadOnlyList<string> Safety);
