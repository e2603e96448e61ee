using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Units;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of a spray product.</summary>
public static class ProductKeys
{
    private static readonly KeyForm Percent = Number(0.01, 100);
    private static readonly KeyForm UpToAWeek = Duration("0h", "168h");
    private static readonly KeyForm UpToAYear = Whole(0, 365);

    private static readonly KeyForm Degrees = Amount(
        Dimension.Temperature,
        -20,
        50,
        mayBeBare: true,
        $"5 °C, 40 °F, or a number in °C (°F with units: us), from -20 °C to 50 °C");

    private static readonly KeyForm Wind =
        Amount(Dimension.Speed, 0, 30, mayBeBare: false, $"5 km/h, 3 mph, 1.5 m/s and the like, up to 30 m/s");

    private static readonly KeyForm RainDepth = Amount(
        Dimension.Depth,
        1,
        500,
        mayBeBare: true,
        $"25 mm, 1 in, or a number in mm (inches with units: us), from 1 mm to 500 mm");

    /// <summary>Keys of one entry of <c>products</c>.</summary>
    public static GardenSection Product { get; } = new("product", $"a product", [
        new("id", Identifier, "Short name used in the journal.") { Required = true },
        new("name", Text(60), "Your name for it, for the reader of messages."),
        new(
            "template",
            OneOf(SprayTemplates.All.Select(template => template.Id)),
            "Generic figures to start from; keys given here replace them. Check every figure against your label."),
        new(
            "active",
            OneOf(Enum.GetValues<ActiveIngredient>().Select(ActiveIngredients.Word)),
            "The active substance on the label. Required without template."),
        new("content", Percent, "Content of the active compound in % by weight."),
        new("copper", Percent, "Content of metallic copper in % by weight; labels say 'metallic copper equivalent'."),
        new(
            "density",
            new RatioForm(
                $"a number in kg/L, 9.5 lb/gal, 0.4 oz/tbsp, 12 g/tbsp and the like, from 0.1 to 3 kg/L",
                [Dimension.Mass],
                Dimension.Volume,
                0.1,
                3,
                MayBeBare: true),
            "Weight of a volume of the product, of a powder too; needed to work out copper where the dose is a volume."),
        new(
            "dose",
            new RatioForm(
                $"7.5 g/L, 10 mL/L, 1 oz/gal, 2 fl oz/gal, 1 1/2 tbsp/gal, 10 lb/100 gal and the like, up to 500 g or mL in a litre",
                [Dimension.Mass, Dimension.Volume],
                Dimension.Volume,
                null,
                500),
            "Amount of product for an amount of water."),
        new("max_applications", Whole(1, 50), "Most applications in a season."),
        new(
            "max_copper",
            new RatioForm($"4 kg/ha, 3.6 lb/acre and the like, from 0.01 to 100 kg/ha", [Dimension.Mass], Dimension.Area, 0.01, 100),
            "Most metallic copper in a season."),
        new("days_between", UpToAYear, "Fewest days between two applications."),
        new("first_stage", BbchCode, "First bud stage at which it may be used; leaf-bud or flower-bud code."),
        new("last_stage", BbchCode, "Last bud stage at which it may be used; leaf-bud or flower-bud code."),
        new("min_temperature", Degrees, "Lowest air temperature while spraying."),
        new("max_temperature", Degrees, "Highest air temperature while spraying."),
        new("dry_before", UpToAWeek, "Time without rain before spraying."),
        new("dry_after", UpToAWeek, "Time without rain after spraying."),
        new("frost_free_before", UpToAWeek, "Time without frost before spraying."),
        new("frost_free", UpToAWeek, "Time without frost after spraying."),
        new("wind_min", Wind, "Least wind while spraying."),
        new("wind_max", Wind, "Most wind while spraying."),
        new("not_on", ListOf(TreeKinds.Words), "Kinds of tree it must not be used on."),
        new("reentry", Duration("0h", "720h"), "How long people and pets stay away after spraying."),
        new("days_before_harvest", UpToAYear, "Days between the last application and harvest."),
        new(
            "days_from_oil",
            UpToAYear,
            "Days between an oil and a sulfur, captan or chlorothalonil product, either way round. Left out on both: "
                + "30 for sulfur, 14 for the others."),
        new("recheck_rain", RainDepth, "Rain since the spray from which a copper's cover should be looked at.", "25 mm"),
        new(
            "spent_rain",
            RainDepth.And($", not below recheck_rain"),
            "Rain since the spray from which a copper's cover counts as gone.",
            "50 mm"),
    ])
    {
        Rules = [new AnyOf("active", "template")],
    };
}
