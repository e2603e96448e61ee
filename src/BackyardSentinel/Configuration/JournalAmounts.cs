using System.Globalization;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>
/// Reads what a grower writes of a journal entry, in the units of labels and cans; what cannot be taken gives a sentence that
/// begins with what was written.
/// </summary>
public static class JournalAmounts
{
    /// <summary>A volume, litres; <c>null</c>: it is none, or cannot be.</summary>
    /// <param name="text">A number and a unit.</param>
    /// <param name="units">The garden's units.</param>
    /// <param name="fault">Why it is not taken.</param>
    /// <param name="bare">A number alone is meant in the garden's unit.</param>
    public static double? Volume(string text, UnitSystem units, out string? fault, bool bare = false)
    {
        var litres = AmountText.Parse(text, Dimension.Volume, bare ? units.UnitOf(Dimension.Volume) : null);
        fault = litres switch
        {
            >= SprayEntry.LeastVolumeL and <= SprayEntry.MostVolumeL => null,
            > 0 => $"{text} cannot be; taken are {units.Volume(SprayEntry.LeastVolumeL)} to {units.Volume(SprayEntry.MostVolumeL)}.",
            _ => $"\"{text}\" is no amount of spray; write it like \"5 L\" or \"1 1/2 gal\".",
        };
        return fault is null ? litres : null;
    }

    /// <summary>
    /// A dose, g or mL of product in a litre of mixture, as the product is measured; <c>null</c>: it is none, or cannot be.
    /// </summary>
    /// <param name="text">The amount of product for an amount of mixture.</param>
    /// <param name="product">The product, whose density leads from spoons to weight and back.</param>
    /// <param name="units">The garden's units.</param>
    /// <param name="fault">Why it is not taken.</param>
    /// <param name="bare">A number alone is meant in <see cref="DoseUnit"/>.</param>
    public static double? Dose(string text, SprayProduct product, UnitSystem units, out string? fault, bool bare = false)
    {
        Dimension[] either = [Dimension.Mass, Dimension.Volume];
        var ratio = AmountText.ParseRatio(text, either, Dimension.Volume)
            ?? (bare ? AmountText.ParseRatio($"{text.Trim()} {DoseUnit(product, units)}", either, Dimension.Volume) : null);
        if (ratio is not ({ Value: > 0 } amount, > 0 and var perL))
        {
            fault = $"\"{text}\" is no dose; write it like \"7.5 g/L\" or \"2 fl oz/gal\".";
            return null;
        }

        if (IsWeight(amount.Dimension) != IsWeight(product.Unit) && product.DensityKgPerL is null)
        {
            var way = IsWeight(product.Unit) ? "weight" : "volume";
            fault =
                $"{product.Id} is measured by {way}, and what a volume of it weighs is not known, so \"{text}\" cannot be counted; "
                    + $"give the product's density in the garden file, such as 0.4 oz/tbsp, or the dose by {way}.";
            return null;
        }

        // Millilitres and grams, as the product is measured.
        var measured = amount.Dimension == Dimension.Mass ? amount.Value : amount.Value / Unit.Millilitre.Factor;
        var dose = IsWeight(amount.Dimension) == IsWeight(product.Unit) ? measured / perL
            : IsWeight(product.Unit) ? measured / perL * product.DensityKgPerL!.Value
            : measured / perL / product.DensityKgPerL!.Value;
        fault = dose is >= SprayEntry.LeastDosePerL and <= SprayEntry.MostDosePerL
            ? null
            : $"{text} cannot be; taken are {units.Dose(SprayEntry.LeastDosePerL, product.Unit)} to "
                + $"{units.Dose(SprayEntry.MostDosePerL, product.Unit)}.";
        return fault is null ? dose : null;
    }

    /// <summary>The unit in which a product's dose is asked for.</summary>
    /// <param name="product">The product.</param>
    /// <param name="units">The garden's units.</param>
    public static string DoseUnit(SprayProduct product, UnitSystem units) =>
        units == UnitSystem.Us ? IsWeight(product.Unit) ? "oz/gal" : "fl oz/gal"
        : IsWeight(product.Unit) ? "g/L" : "mL/L";

    /// <summary>A local time of day, as 14:30 or 2:30 pm; <c>null</c>: it is none.</summary>
    /// <param name="text">The time.</param>
    /// <param name="fault">Why it is not taken.</param>
    public static TimeOnly? Clock(string text, out string? fault)
    {
        var isOne = TimeOnly.TryParseExact(
            text.Trim(),
            ["HH:mm", "H:mm", "htt", "h tt", "h:mmtt", "h:mm tt"],
            CultureInfo.InvariantCulture,
            DateTimeStyles.None,
            out var time);
        fault = isOne ? null : $"\"{text}\" is no time of day; write it like 14:30 or 2:30pm.";
        return isOne ? time : null;
    }

    /// <summary>A local day; <c>null</c>: it is none.</summary>
    /// <param name="text">Such as 2027-02-12; month first only where the garden's units say that a US grower writes.</param>
    /// <param name="units">The garden's units.</param>
    /// <param name="fault">Why it is not taken.</param>
    public static DateOnly? Day(string text, UnitSystem units, out string? fault)
    {
        string[] forms = units == UnitSystem.Us ? ["yyyy-MM-dd", "M/d/yyyy"] : ["yyyy-MM-dd"];
        var isOne = DateOnly.TryParseExact(text, forms, CultureInfo.InvariantCulture, DateTimeStyles.None, out var day);
        fault = isOne ? null : $"\"{text}\" is no day; write it like 2027-02-12{(units == UnitSystem.Us ? " or 2/12/2027" : "")}.";
        return isOne ? day : null;
    }

    private static bool IsWeight(Dimension dimension) => dimension == Dimension.Mass;

    private static bool IsWeight(ProductUnit unit) => unit == ProductUnit.Gram;
}
