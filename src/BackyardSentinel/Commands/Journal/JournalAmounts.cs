using System.Globalization;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Commands.Journal;

/// <summary>Reads the amounts of a spray entry, in the units of labels and cans.</summary>
internal static class JournalAmounts
{
    /// <summary>A volume, litres.</summary>
    /// <param name="text">A number and a unit.</param>
    /// <param name="units">The garden's units, for what is said.</param>
    public static double Volume(string text, UnitSystem units) =>
        AmountText.Parse(text, Dimension.Volume) switch
        {
            >= SprayEntry.LeastVolumeL and <= SprayEntry.MostVolumeL and var litres => litres,
            > 0 => throw new CommandProblemException(
                $"--volume: {text} cannot be; taken are {units.Volume(SprayEntry.LeastVolumeL)} to {units.Volume(SprayEntry.MostVolumeL)}."),
            _ => throw new CommandProblemException($"--volume: \"{text}\" is no amount of spray; write it like \"5 L\" or \"1 1/2 gal\"."),
        };

    /// <summary>A dose, g or mL of product in a litre of mixture, as the product is measured.</summary>
    /// <param name="text">The amount of product for an amount of mixture.</param>
    /// <param name="product">The product, whose density leads from spoons to weight and back.</param>
    /// <param name="units">The garden's units, for what is said.</param>
    public static double Dose(string text, SprayProduct product, UnitSystem units)
    {
        var dose = AmountText.ParseRatio(text, [Dimension.Mass, Dimension.Volume], Dimension.Volume)
            is ({ Value: > 0 } amount, > 0 and var perL)
            ? amount.Dimension == Dimension.Mass
                ? product.Unit == ProductUnit.Gram
                    ? amount.Value / perL
                    : amount.Value / perL / Density(text, product)
                : product.Unit == ProductUnit.Gram
                    ? amount.Value / Unit.Millilitre.Factor / perL * Density(text, product)
                    : amount.Value / Unit.Millilitre.Factor / perL
            : throw new CommandProblemException($"--dose: \"{text}\" is no dose; write it like \"7.5 g/L\" or \"2 fl oz/gal\".");
        return dose is >= SprayEntry.LeastDosePerL and <= SprayEntry.MostDosePerL
            ? dose
            : throw new CommandProblemException(
                $"--dose: {text} cannot be; taken are {units.Dose(SprayEntry.LeastDosePerL, product.Unit)} to {units.Dose(SprayEntry.MostDosePerL, product.Unit)}.");
    }

    /// <summary>A local time of day, as 14:30 or 2:30 pm.</summary>
    public static TimeOnly Clock(string text) =>
        TimeOnly.TryParseExact(
            text.Trim(),
            ["HH:mm", "H:mm", "htt", "h tt", "h:mmtt", "h:mm tt"],
            CultureInfo.InvariantCulture,
            DateTimeStyles.None,
            out var time)
            ? time
            : throw new CommandProblemException($"--at: \"{text}\" is no time of day; write it like 14:30 or 2:30pm.");

    private static double Density(string text, SprayProduct product) =>
        product.DensityKgPerL
        ?? throw new CommandProblemException(
            $"--dose: {product.Id} is measured by {(product.Unit == ProductUnit.Gram ? "weight" : "volume")}, and what a volume of it weighs is not known, so \"{text}\" cannot be counted; give the product's density in the garden file, such as 0.4 oz/tbsp, or the dose by {(product.Unit == ProductUnit.Gram ? "weight" : "volume")}.");
}
