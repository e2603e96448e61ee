using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands;

/// <summary>Reads the amounts of a spray entry, in the units of labels and cans.</summary>
internal static class JournalAmounts
{
    /// <summary>A volume, litres.</summary>
    public static double Volume(string text) => AmountText.Parse(text) switch
    {
        { Kind: AmountKind.Volume, Value: >= JournalJson.LeastVolumeL and <= JournalJson.MostVolumeL and var litres } => litres,
        { Kind: AmountKind.Volume, Value: > 0 } => throw new JournalProblemException($"--volume: {text} cannot be; taken are {JournalJson.LeastVolumeL.ToString(CultureInfo.InvariantCulture)} to {JournalJson.MostVolumeL.ToString(CultureInfo.InvariantCulture)} L."),
        _ => throw new JournalProblemException($"--volume: \"{text}\" is no amount of spray; write it like \"5 L\" or \"1.5 gal\"."),
    };

    /// <summary>A dose, g or mL of product in a litre of mixture.</summary>
    public static double Dose(string text) => DosePerL(text) is >= JournalJson.LeastDosePerL and <= JournalJson.MostDosePerL and var dose
        ? dose
        : throw new JournalProblemException($"--dose: {text} cannot be; taken are {JournalJson.LeastDosePerL.ToString("0.######", CultureInfo.InvariantCulture)} to {JournalJson.MostDosePerL.ToString(CultureInfo.InvariantCulture)} g or mL in a litre.");

    private static double DosePerL(string text) => AmountText.ParseRatio(text) switch
    {
        ({ Kind: AmountKind.Mass, Value: > 0 } grams, { Kind: AmountKind.Volume } per) => grams.Value / per.Value,
        ({ Kind: AmountKind.Volume, Value: > 0 } litres, { Kind: AmountKind.Volume } per) => litres.Value * 1000 / per.Value,
        _ => throw new JournalProblemException($"--dose: \"{text}\" is no dose; write it like \"7.5 g/L\" or \"2 fl oz/gal\"."),
    };

    /// <summary>A local time of day.</summary>
    public static TimeOnly Clock(string text) => TimeOnly.TryParseExact(text, ["HH:mm", "H:mm"], CultureInfo.InvariantCulture, DateTimeStyles.None, out var time)
        ? time
        : throw new JournalProblemException($"--at: \"{text}\" is no time of day; write it like 14:30.");
}
