using System.Text.Json;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Storage;

/// <summary>
/// Journal entries as JSON objects: <c>on</c>, <c>planting</c>, <c>kind</c> and what belongs to the kind. The store, the
/// files that <c>journal list --json</c> prints and those written by hand all use this form.
/// </summary>
public static class JournalJson
{
    /// <summary>The entry as one line of JSON.</summary>
    public static string Write(JournalEntry entry) => JsonSerializer.Serialize(JournalLine.Of(entry), ContractJson.Default.JournalLine);

    /// <summary>Reads a line of the store; the store's number counts.</summary>
    /// <param name="text">The line.</param>
    /// <param name="number">Its number.</param>
    /// <param name="site">The site where it names none.</param>
    /// <returns>The entry, or <c>null</c> where the line cannot be read.</returns>
    public static JournalEntry? Read(string text, long number, string site)
    {
        try
        {
            using var json = JsonDocument.Parse(text);
            return Read(json.RootElement, number, site, out _) is { } entry ? entry with { Number = number } : null;
        }
        catch (JsonException)
        {
            return null; // Damaged, or written by another program.
        }
    }

    /// <summary>Reads one object.</summary>
    /// <param name="json">The object.</param>
    /// <param name="number">Its number where it names none.</param>
    /// <param name="site">The site where it names none.</param>
    /// <param name="reason">Why it cannot be taken, as a sentence.</param>
    /// <returns>The entry, or <c>null</c> with a reason.</returns>
    public static JournalEntry? Read(JsonElement json, long number, string site, out string? reason)
    {
        if (json.ValueKind != JsonValueKind.Object)
        {
            reason = "an entry is an object such as {\"on\":\"2027-02-12\",\"planting\":\"white-peach\",\"kind\":\"stage\",\"code\":1}.";
            return null;
        }

        try
        {
            return ReadObject(json, number, site, out reason);
        }
        catch (InvalidOperationException)
        {
            // Half a surrogate pair or a broken byte shows only when the text is asked for.
            reason = "it holds text that is not valid Unicode; write it anew.";
            return null;
        }
    }

    private static JournalEntry? ReadObject(JsonElement json, long number, string site, out string? reason)
    {
        var fields = new JournalFields(json);
        var on = fields.Day("on");
        var planting = fields.Text("planting");
        var kind = fields.Text("kind");
        if (
            json.TryGetProperty("number", out var own)
            && own.ValueKind == JsonValueKind.Number
            && own.TryGetInt64(out var named)
            && named > 0)
            number = named;
        if (json.TryGetProperty("site", out var place) && place.ValueKind == JsonValueKind.String)
            site = place.GetString()!;
        var entry = fields.Fault is not null ? null : Build(fields, kind, number, site, planting, on);
        reason = fields.Fault;
        var note = json.TryGetProperty("note", out var words) && words.ValueKind == JsonValueKind.String ? words.GetString() : null;
        return reason is null ? entry! with { Note = note } : null;
    }

    private static JournalEntry? Build(JournalFields fields, string kind, long number, string site, string planting, DateOnly on)
    {
        switch (kind)
        {
            case StageEntry.Word:
                return new StageEntry(number, site, planting, on, fields.Whole("code", 0, 99));
            case SprayEntry.Word:
                return new SprayEntry(
                    number,
                    site,
                    planting,
                    on,
                    fields.Text("product"),
                    fields.Number("volume_l", SprayEntry.LeastVolumeL, SprayEntry.MostVolumeL),
                    fields.OptionalNumber("dose_per_l", SprayEntry.LeastDosePerL, SprayEntry.MostDosePerL),
                    fields.OptionalTime("at"));
            case ScoutEntry.Word:
                var shoots = fields.Whole("shoots", 1, JournalCheck.MostShoots);
                return new ScoutEntry(
                    number,
                    site,
                    planting,
                    on,
                    shoots,
                    fields.Whole("curled", 0, shoots),
                    fields.OptionalSymptom("symptom"));
            case PickEntry.Word:
                return new PickEntry(number, site, planting, on);
            case LeafFallEntry.Word:
                return new LeafFallEntry(number, site, planting, on, fields.Number("fallen_pct", 0, 100));
            case ShelterEntry.Word:
                return new ShelterEntry(number, site, planting, on, fields.OneOf("shelter", "on", "off") == "on");
            default:
                fields.Refuse($"\"kind\" is \"{kind}\"; known are {string.Join(", ", JournalEntry.Kinds)}.");
                return null;
        }
    }
}
