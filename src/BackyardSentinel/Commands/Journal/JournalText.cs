using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Journal;

/// <summary>Shows journal entries.</summary>
internal static class JournalText
{
    /// <summary>The entry on one line.</summary>
    public static string Line(JournalEntry entry, GardenFile garden) =>
        string.Create(CultureInfo.InvariantCulture, $"{entry.Number,4}  {Words(entry, garden)}");

    /// <summary>The entry without its number, such as one that has none yet.</summary>
    public static string Words(JournalEntry entry, GardenFile garden) =>
        TerminalText.Plain(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{entry.On:yyyy-MM-dd}  {entry.Site}/{entry.Planting}  "
                    + $"{What(entry, garden)}{(entry.Note is { } note ? $"  \"{note}\"" : "")}"));

    /// <summary>The lines that hold, or all of them.</summary>
    public static void Write(
        IReadOnlyList<JournalRow> rows,
        IReadOnlyList<JournalEntry> standing,
        GardenFile garden,
        bool all,
        TextWriter output)
    {
        if (!all)
        {
            foreach (var entry in standing)
                output.WriteLine(Line(entry, garden));
        }
        else
        {
            HashSet<long> holds = [.. standing.Select(entry => entry.Number)];
            foreach (var row in rows)
                output.WriteLine(
                    row is { Entry: null, Withdraws: null }
                        ? string.Create(CultureInfo.InvariantCulture, $"{row.Number,4}  cannot be read any more and does not count")
                    : row.Entry is { } entry
                        ? $"{Line(entry, garden)}{(row.Corrects is { } old ? $"  (in place of {old})" : "")}"
                            + $"{(holds.Contains(row.Number) ? "" : "  (no longer holds)")}"
                    : string.Create(CultureInfo.InvariantCulture, $"{row.Number,4}  takes back {row.Withdraws}"));
        }

        if (rows.Count == 0)
            output.WriteLine("The journal is empty. 'journal add --help' shows what can be written down.");
    }

    /// <summary>The entries as one object.</summary>
    public static void WriteJson(IReadOnlyList<JournalEntry> entries, TextWriter output)
    {
        var document = new JournalDocument([.. entries.Select(JournalLine.Of)]);
        output.Write(JsonSerializer.Serialize(document, ContractJson.Printed.JournalDocument) + "\n");
    }

    private static string What(JournalEntry entry, GardenFile garden) =>
        entry switch
        {
            StageEntry stage => string.Create(
                CultureInfo.InvariantCulture,
                $"stage {stage.Code:00}{(BudStage.TryFrom(stage.Code, out var known) ? $", {known.Meaning}" : "")}"),
            SprayEntry spray => string.Create(
                CultureInfo.InvariantCulture,
                $"spray {spray.Product}, "
                    + $"{garden.Units.Volume(spray.VolumeL)}"
                    + $"{(spray.DosePerL is { } dose ? $" at {Dose(spray.Product, dose, garden)}" : "")}"
                    + $"{(spray.At is { } at ? $", ended {at:HH:mm}" : "")}"),
            ScoutEntry scout => string.Create(
                CultureInfo.InvariantCulture,
                $"scouted {scout.Shoots} shoots, "
                    + $"{scout.Curled} curled{(scout.Symptom is { } symptom ? $", {SymptomWords.Word(symptom)}" : "")}"),
            PickEntry => "curled leaves picked",
            ShelterEntry shelter => $"rain shelter {(shelter.IsOn ? "on" : "off")}",
            LeafFallEntry fall => string.Create(CultureInfo.InvariantCulture, $"{fall.FallenPct:0.#} % of the leaves down"),
            _ => throw new System.Diagnostics.UnreachableException($"The entry {entry.Kind} has no words."),
        };

    private static string Dose(string id, double perLitre, GardenFile garden) =>
        garden.Products.FirstOrDefault(product => product.Id == id) is { } product
            ? garden.Units.Dose(perLitre, product.Unit)
            : string.Create(CultureInfo.InvariantCulture, $"{perLitre:0.##} g or mL in a litre");
}
