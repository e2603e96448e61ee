using BackyardSentinel.Units;

namespace BackyardSentinel.Spraying;

/// <summary>Amounts of a product in the grower's units.</summary>
public static class ProductAmounts
{
    /// <summary>An amount of product, to three figures.</summary>
    /// <param name="units">The grower's units.</param>
    /// <param name="amount">g or mL, from 0.</param>
    /// <param name="unit">How the product is measured.</param>
    public static string Product(this UnitSystem units, double amount, ProductUnit unit)
    {
        ArgumentNullException.ThrowIfNull(units);
        return unit == ProductUnit.Gram ? units.Mass(amount) : units.SmallVolume(amount);
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
