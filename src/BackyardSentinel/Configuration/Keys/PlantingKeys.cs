using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of a planting.</summary>
public static class PlantingKeys
{
    private static readonly KeyForm DegreeHours = Number(1, 50_000).And($", rising from swell to petal_fall");
    private static readonly List<string> ChillModels = [.. Enum.GetValues<ChillModel>().Select(ChillModelWords.Word)];
    private static readonly List<string> HeatFunctions = [.. Enum.GetValues<HeatFunction>().Select(HeatFunctionWords.Word)];
    private static readonly string UsualChill = ChillModel.Portions.Word();
    private static readonly string UsualHeat = HeatFunction.Linear47.Word();

    /// <summary>Keys of one entry of <c>plantings</c>.</summary>
    public static GardenSection Planting { get; } = new("planting", $"a planting", [
        new("id", Identifier, "Short name used in topics.") { Required = true },
        new("name", Text(60), "Your name for it, for the reader of messages. Left out: its id."),
        new("kind", OneOf(TreeKinds.Words), "The kind of tree.") { Required = true },
        new("variety", Text(60), "The variety's name, for the reader of messages."),
        new(
            "stage",
            new WholeOrWordForm($"followed, always, or a BBCH code from 0 to 97", ["followed", "always"], 0, 97),
            "The bud stage: followed through the journal, and computed from chill and heat where the journal is silent; "
                + "a BBCH code that holds throughout; or always: judged as open to infection the whole year.",
            "followed"),
        new("chill_model", OneOf(ChillModels), "How winter chill is counted.", UsualChill),
        new(
            "chill_need",
            Number(1, 2000).And($", required with a chill_model other than {new Name(UsualChill)}"),
            "Chill that ends the buds' rest, in units of chill_model. The default holds for portions only, "
                + "and is 28 for almond and 56 for apricot.",
            "62.5"),
        new("heat_function", OneOf(HeatFunctions), "How heat is counted after that.", UsualHeat),
        new(
            "heat_needs",
            Part("heat_needs").And($", required with a heat_function other than {new Name(UsualHeat)}"),
            "Heat to each stage. Left out with linear-4.7: the needs published for one nectarine."),
        new("trees", Whole(1, 999), "How many trees stand here.", "1"),
        new(
            "canopy_area",
            Amount(
                Dimension.Area,
                0.1,
                10_000,
                mayBeBare: true,
                $"12 m², 300 sq ft, or a number in m² (square feet with units: us), from 0.1 m² to 10000 m²"),
            "Ground under all the crowns together; copper per area is worked out with it."),
        new(
            "spray_volume",
            Amount(Dimension.Volume, 0.1, 10_000, mayBeBare: false, $"5 L, 2 gal and the like, from 0.1 L to 10000 L"),
            "Spray that wets the whole planting once."),
        new("had_curl_last_spring", YesNo, "The trees had leaf curl in the spring before the journal began.", "false"),
    ])
    {
        Rules =
        [
            new NeededWith("chill_model", [.. ChillModels.Where(word => word != UsualChill)], "chill_need"),
            new NeededWith("heat_function", [.. HeatFunctions.Where(word => word != UsualHeat)], "heat_needs"),
        ],
    };

    /// <summary>Keys under <c>heat_needs</c> of a planting.</summary>
    public static GardenSection HeatNeeds { get; } = new("heat_needs", $"'heat_needs'", [
        new("swell", DegreeHours, "Degree hours to bud swell, BBCH 01 and 51.") { Required = true },
        new("green_tip", DegreeHours, "Degree hours to green leaf tips, BBCH 09.") { Required = true },
        new("first_bloom", DegreeHours, "Degree hours to the first open flowers, BBCH 60.") { Required = true },
        new("petal_fall", DegreeHours, "Degree hours to the end of bloom, BBCH 69.") { Required = true },
    ]);
}
