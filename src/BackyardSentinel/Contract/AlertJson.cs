using System.Text.Json;

namespace BackyardSentinel.Contract;

/// <summary>An alert as JSON: for the outbox, for the topic, and inside the standard body of a webhook.</summary>
public static class AlertJson
{
    /// <summary>The alert as one JSON object, UTF-8.</summary>
    /// <param name="message">The alert.</param>
    public static byte[] Write(AlertMessage message) => JsonSerializer.SerializeToUtf8Bytes(message, ContractJson.Default.AlertMessage);

    /// <summary>The standard body of a webhook.</summary>
    /// <param name="message">The alert.</param>
    public static byte[] WriteStandardBody(AlertMessage message) =>
        JsonSerializer.SerializeToUtf8Bytes(WebhookBody.Of(message), ContractJson.Default.WebhookBody);

    /// <summary>Reads what <see cref="Write(AlertMessage)"/> wrote.</summary>
    /// <param name="text">The JSON.</param>
    /// <returns>The alert, or <c>null</c> if the text is not one.</returns>
    public static AlertMessage? Read(string text)
    {
        try
        {
            return JsonSerializer.Deserialize(text, ContractJson.Default.AlertMessage);
        }
        catch (Exception failure) when (failure is JsonException or ArgumentException)
        {
            return null;
        }
    }
}
