using BackyardSentinel.Units;

namespace BackyardSentinel.Garden;

/// <summary>Amounts of a product in the grower's units.</summary>
public static class ProductAmounts
{
    /// <summary>An amount of product, to three figures.</summary>
    /// <param name="units">The grower's units.</param>
    /// <param name="amount">g or mL, from 0.</param>
    /// <param name="product">The product; of a powder whose spoon has a known weight both are told.</param>
    public static string Product(this UnitSystem units, double amount, SprayProduct product)
    {
        ArgumentNullException.ThrowIfNull(units);
        ArgumentNullException.ThrowIfNull(product);
        return product switch
        {
            { Unit: ProductUnit.Gram, DensityKgPerL: { } density } => $"{units.Mass(amount)} ({units.Spoons(amount / density)})",
            { Unit: ProductUnit.Gram } => units.Mass(amount),
            { IsPowder: true, DensityKgPerL: { } density } => $"{units.Spoons(amount)} ({units.Mass(amount * density)})",
            { IsPowder: true } => units.Spoons(amount),
            _ => units.SmallVolume(amount),
        };
    }

    /// <summary>A dose of product.</summary>
    /// <param name="units">The grower's units.</param>
    /// <param name="perLitre">g or mL in a litre of mixture, from 0.</param>
    /// <param name="unit">How the product is measured.</param>
    public static string Dose(this UnitSystem units, double perLitre, ProductUnit unit)
    {
        ArgumentNullException.ThrowIfNull(units);
        return unit == ProductUnit.Gram ? units.MassPerVolume(perLitre) : units.VolumePerVolume(perLitre);
    }
}
