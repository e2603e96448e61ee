using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Spraying;

/// <summary>How to fill a sprayer with one product, and the cautions that go with it.</summary>
/// <param name="WaterL">Water, L; a product's own volume is small against it and is not taken off.</param>
/// <param name="ProductAmount">Product, g or mL.</param>
/// <param name="Unit">How the product is measured.</param>
/// <param name="Water">The water in the grower's units.</param>
/// <param name="Product">The product in the grower's units.</param>
/// <param name="Steps">What to do, in order.</param>
/// <param name="Safety">Cautions, the label first.</param>
public sealed record TankMix(
    double WaterL,
    double ProductAmount,
    ProductUnit Unit,
    string Water,
    string Product,
    IReadOnlyList<Sentence> Steps,
    IReadOnlyList<Sentence> Safety)
{
    /// <summary>Largest volume taken for a garden's, L.</summary>
    public const double LargestVolumeL = 2000;

    /// <summary>Computes a mix, or says in a sentence why there is none.</summary>
    /// <param name="product">The product.</param>
    /// <param name="volumeL">Mixture wanted, L, above 0 and up to <see cref="LargestVolumeL"/>.</param>
    /// <param name="units">The grower's units.</param>
    /// <param name="problem">Why there is no mix; <c>null</c> when there is one.</param>
    public static TankMix? For(SprayProduct product, double volumeL, UnitSystem units, out Sentence? problem)
    {
        problem = volumeL is not (> 0 and <= LargestVolumeL)
            ? (Sentence)($"A volume of {new Figure(units.Volume(volumeL))} cannot be mixed; "
                + $"give one above 0 and up to {new Figure(units.Volume(LargestVolumeL))}.")
            : product.DosePerL is null
                ? $"Product {new Name(product.Name)} has no dose; enter the label's in the garden file."
                : product.Check(units) is [var first, ..] ? first : null;
        if (problem is not null)
            return null;

        var amount = product.DosePerL!.Value * volumeL;
        var (water, measured) = (units.Volume(volumeL), units.Product(amount, product));
        return new TankMix(
            volumeL,
            amount,
            product.Unit,
            water,
            measured,
            [.. Order(product, volumeL, amount, units)],
            [.. SpraySafety.ForMix(product, units)]);
    }

    private static IEnumerable<Sentence> Order(SprayProduct product, double volumeL, double amount, UnitSystem units)
    {
        var (half, measured) = (units.Volume(volumeL / 2), units.Product(amount, product));
        if (product.Active == ActiveIngredient.Bordeaux && product.IsTemplate)
        {
            // Home-made: equal weights of bluestone and lime, as in 10-10-100.
            yield return $"Dissolve {new Figure(measured)} of copper sulfate in {new Figure(half)} of water, in plastic, not in metal.";
            yield return $"Stir {new Figure(measured)} of hydrated lime into the other {new Figure(half)}.";
            yield return $"Pour the copper into the lime while stirring, strain it, keep it moving and use it the same day.";
            yield break;
        }

        yield return $"Fill in half of the water, {new Figure(half)}.";
        yield return $"Start the agitation, or stir.";
        yield return $"Add {new Figure(measured)} of product slowly.";
        yield return $"Fill up with the rest of the water to {new Figure(units.Volume(volumeL))}, and keep it moving until it is used.";
        yield return $"Mix only what you spray today; rinse the sprayer and spray the rinse on the trees, as the label allows, "
            + $"not into a drain.";
    }
}
