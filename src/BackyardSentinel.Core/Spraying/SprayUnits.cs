using System.Globalization;

namespace BackyardSentinel.Spraying;

/// <summary>
/// Amounts in the grower's units, to three figures. Factors: NIST Handbook 44, appendix C (exact, but for the volumes,
/// which are exact as 231 cubic inches of 25.4 mm).
/// </summary>
public static class SprayUnits
{
    /// <summary>A US gallon, L.</summary>
    public const double LPerUsGallon = 3.785411784;

    /// <summary>A US fluid ounce, mL: a 128th of a gallon.</summary>
    public const double MlPerUsFluidOunce = LPerUsGallon * 1000 / 128;

    /// <summary>A US tablespoon, mL: half a fluid ounce.</summary>
    public const double MlPerUsTablespoon = MlPerUsFluidOunce / 2;

    /// <summary>An avoirdupois ounce, g.</summary>
    public const double GPerOunce = 28.349523125;

    /// <summary>Below this many fluid ounces tablespoons are easier to measure.</summary>
    private const double FewFluidOunces = 4;

    /// <summary>A volume of mixture or water.</summary>
    /// <param name="litres">L, from 0.</param>
    /// <param name="system">The grower's units.</param>
    public static string Volume(double litres, UnitSystem system) =>
        system == UnitSystem.Us ? $"{ThreeFigures(litres / LPerUsGallon)} gal" : $"{ThreeFigures(litres)} L";

    /// <summary>An amount of product.</summary>
    /// <param name="amount">g or mL, from 0.</param>
    /// <param name="unit">How the product is measured.</param>
    /// <param name="system">The grower's units.</param>
    public static string Product(double amount, ProductUnit unit, UnitSystem system) => (unit, system) switch
    {
        (ProductUnit.Gram, UnitSystem.Us) => $"{ThreeFigures(amount / GPerOunce)} oz",
        (ProductUnit.Gram, _) => $"{ThreeFigures(amount)} g",
        (_, UnitSystem.Us) when amount < FewFluidOunces * MlPerUsFluidOunce =>
            $"{ThreeFigures(amount / MlPerUsFluidOunce)} fl oz ({ThreeFigures(amount / MlPerUsTablespoon)} tbsp)",
        (_, UnitSystem.Us) => $"{ThreeFigures(amount / MlPerUsFluidOunce)} fl oz",
        _ => $"{ThreeFigures(amount)} mL",
    };

    /// <summary>A temperature, whole degrees.</summary>
    /// <param name="celsius">°C.</param>
    /// <param name="system">The grower's units.</param>
    public static string Temperature(double celsius, UnitSystem system) => system == UnitSystem.Us
        ? string.Create(CultureInfo.InvariantCulture, $"{Math.Round((celsius * 9 / 5) + 32)} °F")
        : string.Create(CultureInfo.InvariantCulture, $"{celsius:0.#} °C");

    private static string ThreeFigures(double value)
    {
        if (value <= 0)
            return "0";
        var decimals = Math.Clamp(2 - (int)Math.Floor(Math.Log10(value)), 0, 15);
        return Math.Round(value, decimals).ToString("0.###############", CultureInfo.InvariantCulture);
    }
}
