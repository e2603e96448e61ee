using System.Globalization;
using System.Text.Json;

namespace BackyardSentinel.Delivery;

/// <summary>An alert as JSON: for the outbox, for the topic, and inside the standard body of a webhook.</summary>
public static class AlertJson
{
    /// <summary>The alert as one JSON object, UTF-8.</summary>
    /// <param name="message">The alert.</param>
    public static byte[] Write(AlertMessage message)
    {
        ArgumentNullException.ThrowIfNull(message);
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer)) Write(json, message);
        return buffer.ToArray();
    }

    /// <summary>
    /// The standard body of a webhook: <c>type</c>, <c>timestamp</c> and <c>data</c>, the form that the Standard Webhooks
    /// specification recommends (from memory).
    /// </summary>
    /// <param name="message">The alert.</param>
    public static byte[] WriteStandardBody(AlertMessage message)
    {
        ArgumentNullException.ThrowIfNull(message);
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.WriteString("type", "alert." + message.Kind);
            json.WriteString("timestamp", FactsInJson.Utc(message.At));
            json.WritePropertyName("data");
            Write(json, message);
            json.WriteEndObject();
        }

        return buffer.ToArray();
    }

    /// <summary>Reads what <see cref="Write(AlertMessage)"/> wrote.</summary>
    /// <param name="text">The JSON.</param>
    /// <returns>The alert, or <c>null</c> if the text is not one.</returns>
    public static AlertMessage? Read(string text)
    {
        try
        {
            using var json = JsonDocument.Parse(text);
            var root = json.RootElement;
            return new AlertMessage(
                Required(root, "id"),
                Required(root, "episode"),
                Required(root, "site"),
                [
                    .. root.GetProperty("plantings")
                        .EnumerateArray()
                        .Select(planting => planting.GetString() ?? throw new FormatException("A planting is null.")),
                ],
                Required(root, "kind"),
                Optional(root, "level"),
                Required(root, "urgency"),
                Moment(Required(root, "at")),
                Moment(Required(root, "useful_until")),
                Required(root, "title"),
                Required(root, "text"),
                root.GetProperty("facts")
                    .EnumerateObject()
                    .ToDictionary(fact => fact.Name, fact => fact.Value.GetString() ?? "", StringComparer.Ordinal));
        }
        catch (Exception failure)
            when (failure is JsonException or KeyNotFoundException or InvalidOperationException or FormatException or ArgumentException)
        {
            return null;
        }
    }

    private static void Write(Utf8JsonWriter json, AlertMessage message)
    {
        json.WriteStartObject();
        json.WriteString("id", message.Id);
        json.WriteString("episode", message.Episode);
        json.WriteString("site", message.Site);
        json.WriteStartArray("plantings");
        foreach (var planting in message.Plantings) json.WriteStringValue(planting);
        json.WriteEndArray();
        json.WriteString("kind", message.Kind);
        json.WriteString("level", message.Level);
        json.WriteString("urgency", message.Urgency);
        json.WriteString("at", FactsInJson.Utc(message.At));
        json.WriteString("useful_until", FactsInJson.Utc(message.UsefulUntil));
        json.WriteString("title", message.Title);
        json.WriteString("text", message.Text);
        json.WriteStartObject("facts");
        foreach (var (name, value) in message.Facts.OrderBy(fact => fact.Key, StringComparer.Ordinal)) json.WriteString(name, value);
        json.WriteEndObject();
        json.WriteEndObject();
    }

    private static DateTimeOffset Moment(string text) =>
        DateTimeOffset.ParseExact(text, FactsInJson.UtcFormat, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);

    private static string Required(JsonElement root, string name) =>
        root.GetProperty(name).GetString() ?? throw new FormatException(name + " is null.");

    private static string? Optional(JsonElement root, string name) => root.GetProperty(name).GetString();
}
