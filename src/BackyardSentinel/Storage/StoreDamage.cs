using System.Globalization;
using System.Text;
using System.Text.Json;

namespace BackyardSentinel.Storage;

/// <summary>What became of a store that was found damaged. The new store keeps it, so that it can be told again.</summary>
/// <param name="At">When it was found, UTC.</param>
/// <param name="Kept">The damaged file, moved aside.</param>
/// <param name="Fault">What was wrong, as a clause.</param>
/// <param name="Readings">Readings saved.</param>
/// <param name="Lost">Readings lost; <c>null</c>: not known.</param>
/// <param name="From">Start of the time in which readings are lost, UTC; <c>null</c>: none, or not known.</param>
/// <param name="To">Its end, UTC.</param>
/// <param name="Others">What else was lost, as a phrase; empty: nothing.</param>
public sealed record StoreDamage(
    DateTimeOffset At,
    string Kept,
    string Fault,
    long Readings,
    long? Lost,
    DateTimeOffset? From,
    DateTimeOffset? To,
    string Others)
{
    /// <summary>What is wrong, what was saved, what was lost and what to do, in sentences.</summary>
    /// <param name="zone">The zone of the times.</param>
    public string Sentence(TimeZoneInfo zone)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"The store was damaged when the service started at {Local(At, zone)}: {Fault}. ");
        text.Append(CultureInfo.InvariantCulture, $"{Readings} readings were saved into a new one, ");
        if (Lost is null)
            text.Append("how many were lost is not known");
        else if (Lost == 0)
            text.Append("none was lost");
        else
            text.Append(CultureInfo.InvariantCulture, $"{Lost} were lost{Between(zone)}");
        text.Append(Others.Length > 0 ? $"; lost with it: {Others}. " : ". ");
        text.Append(CultureInfo.InvariantCulture, $"The damaged file is kept as {Kept}. ");
        text.Append(
            Lost == 0 && Others.Length == 0
                ? "Nothing needs doing now; if it happens again the disk or card is failing."
                : "Look through 'journal list'; where you have a newer backup, 'restore' brings it back. "
                    + "If it happens again the disk or card is failing.");
        return text.ToString();
    }

    /// <summary>As it is kept.</summary>
    internal string Write()
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.WriteString("at", At);
            json.WriteString("kept", Kept);
            json.WriteString("fault", Fault);
            json.WriteNumber("readings", Readings);
            if (Lost is { } lost) json.WriteNumber("lost", lost);
            if (From is { } from) json.WriteString("from", from);
            if (To is { } to) json.WriteString("to", to);
            json.WriteString("others", Others);
            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(buffer.ToArray());
    }

    /// <summary>Reads it back; <c>null</c>: there is none that can be read.</summary>
    internal static StoreDamage? Read(string? text)
    {
        if (text is null)
            return null;
        try
        {
            using var json = JsonDocument.Parse(text);
            var root = json.RootElement;
            return new StoreDamage(
                root.GetProperty("at").GetDateTimeOffset(),
                root.GetProperty("kept").GetString()!,
                root.GetProperty("fault").GetString()!,
                root.GetProperty("readings").GetInt64(),
                root.TryGetProperty("lost", out var lost) ? lost.GetInt64() : null,
                root.TryGetProperty("from", out var from) ? from.GetDateTimeOffset() : null,
                root.TryGetProperty("to", out var to) ? to.GetDateTimeOffset() : null,
                root.GetProperty("others").GetString()!);
        }
        catch (Exception unreadable) when (
            unreadable is JsonException or KeyNotFoundException or InvalidOperationException or FormatException)
        {
            return null; // The log has told it.
        }
    }

    private string Between(TimeZoneInfo zone) => From is { } from && To is { } to
        ? $" between {Local(from, zone)} and {Local(to, zone)}"
        : "";

    private static string Local(DateTimeOffset at, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(at, zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
}
