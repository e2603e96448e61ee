using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Spraying;

/// <summary>
/// Generic products to start from, without a maker's name. None has a label of its own: every figure must be checked
/// against yours, and limits that only a label can give are left open.
/// </summary>
public static class SprayTemplates
{
    // 10 lb in 100 US gallons, g/L.
    private static readonly double TenPoundsInHundredGallons = 10 * Unit.Pound.Factor / (100 * Unit.Gallon.Factor);

    /// <summary>The templates; a product's id is the word that names it in the garden file.</summary>
    public static IReadOnlyList<SprayProduct> All { get; } =
    [
        new()
        {
            // At least 50 % is what the University of California asks of a fixed copper against curl; 7.5 g/L of
            // oxychloride is advice from Western Australia, through the press.
            Id = "fixed-copper",
            Name = "Fixed copper, 50 % metallic",
            Active = ActiveIngredient.Copper,
            CopperPct = 50,
            DosePerL = 7.5,
            IsPowder = true,
            IsTemplate = true,
        },
        new()
        {
            // 1.8 % is what such a label states (from memory); dose and density are assumed.
            Id = "copper-soap",
            Name = "Copper soap, 1.8 % metallic",
            Active = ActiveIngredient.CopperOctanoate,
            CopperPct = 1.8,
            Unit = ProductUnit.Millilitre,
            DensityKgPerL = 1,
            DosePerL = 10,
            IsTemplate = true,
        },
        new()
        {
            // 10-10-100, a University of California recipe; the product is the copper sulfate, to which goes as much lime.
            Id = "bordeaux",
            Name = "Bordeaux mixture 10-10-100, home-made",
            Active = ActiveIngredient.Bordeaux,
            CopperPct = ActiveIngredient.CopperSulfate.CopperFraction() * 100,
            DosePerL = TenPoundsInHundredGallons,
            IsPowder = true,
            IsTemplate = true,
        },
        new()
        {
            Id = "lime-sulfur",
            Name = "Lime sulfur",
            Active = ActiveIngredient.LimeSulfur,
            Unit = ProductUnit.Millilitre,
            Label = new LabelLimit { ExcludedKinds = [TreeKind.Apricot] },
            IsTemplate = true,
        },
        new()
        {
            Id = "dormant-oil",
            Name = "Dormant oil",
            Active = ActiveIngredient.Oil,
            Unit = ProductUnit.Millilitre,
            // Assumed: a dormant oil injures opening leaves, so it ends where light green shows between the scales.
            Label = new LabelLimit { LastStage = 3 },
            IsTemplate = true,
        },
    ];
}
