using BackyardSentinel.Garden;

namespace BackyardSentinel.Contract;

/// <summary>fit --json: a planting's heat needs, fitted to the springs in which a stage was written down.</summary>
/// <param name="Site">The site.</param>
/// <param name="Planting">The planting.</param>
/// <param name="Stage">BBCH code of the stage.</param>
/// <param name="Seen">The local days on which it was seen first in a season, oldest first.</param>
/// <param name="SetAside">The seasons that the fit does not rest on.</param>
/// <param name="Seasons">How many seasons it rests on.</param>
/// <param name="ChillModel">How chill is counted, the garden file's word.</param>
/// <param name="ChillNeed">The chill need, in the units of that model; as the garden file has it.</param>
/// <param name="HeatFunction">How warmth is counted, the garden file's word.</param>
/// <param name="HeatNeed">The heat need of the stage, degree hours.</param>
/// <param name="ErrorDays">Root mean square of the error over these seasons, days.</param>
/// <param name="ErrorLeftOutDays">The same with each season predicted from the others, days: what to expect of a new spring.</param>
/// <param name="PresentHeatNeed">The heat need that holds now, degree hours.</param>
/// <param name="PresentErrorDays">The same by the present need, days; null: it is not met in the hours known.</param>
/// <param name="Recommended">The next spring would be nearer by the need that was found than by the present one.</param>
/// <param name="HeatNeeds">What belongs into the garden file.</param>
[SchemaFile("fit")]
public sealed record FitDocument(
    string Site,
    string Planting,
    [Bounds(0, 97)] int Stage,
    IReadOnlyList<DateOnly> Seen,
    IReadOnlyList<FitSetAside> SetAside,
    [Bounds(2)] int Seasons,
    [OneOf(typeof(FitDocument), nameof(FitDocument.ChillModels))] string ChillModel,
    [Bounds(0)] double ChillNeed,
    [OneOf(typeof(FitDocument), nameof(FitDocument.HeatFunctions))] string HeatFunction,
    [Bounds(0)] double HeatNeed,
    [Bounds(0)] double ErrorDays,
    [Bounds(0)] double ErrorLeftOutDays,
    [Bounds(0)] double PresentHeatNeed,
    [Bounds(0)] double? PresentErrorDays,
    bool Recommended,
    FitNeeds HeatNeeds)
{
    /// <summary>The words of the ways to count chill.</summary>
    public static IReadOnlyList<string> ChillModels { get; } = [.. Enum.GetValues<ChillModel>().Select(ChillModelWords.Word)];

    /// <summary>The words of the ways to count warmth.</summary>
    public static IReadOnlyList<string> HeatFunctions { get; } = [.. Enum.GetValues<HeatFunction>().Select(HeatFunctionWords.Word)];
}

/// <summary>A season that a fit does not rest on.</summary>
/// <param name="Seen">The local day on which the stage was seen.</param>
/// <param name="Why">Why, a sentence.</param>
/// <param name="DaysOff">Days before (negative) or after the day that the others give; null: the season could not serve at all.</param>
public sealed record FitSetAside(DateOnly Seen, string Why, int? DaysOff);

/// <summary>The stages' needs of warmth, degree hours after the chill need is met, all stretched by the same factor (assumed).</summary>
/// <param name="Swell">The buds swell, BBCH 01.</param>
/// <param name="GreenTip">Green leaf tips, BBCH 09.</param>
/// <param name="FirstBloom">The first open flowers, BBCH 60.</param>
/// <param name="PetalFall">The petals are down, BBCH 69.</param>
public sealed record FitNeeds(
    [Bounds(0)] double Swell,
    [Bounds(0)] double GreenTip,
    [Bounds(0)] double FirstBloom,
    [Bounds(0)] double PetalFall);
