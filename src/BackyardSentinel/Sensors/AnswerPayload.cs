using System.Text.Json;

namespace BackyardSentinel.Sensors;

/// <summary>
/// An answer to an alert as it comes by MQTT: <c>{"episode": "…", "kind": "seen"}</c>, or <c>later</c> with <c>"for": "6h"</c>.
/// </summary>
/// <param name="Episode">The alert's episode.</param>
/// <param name="Kind"><c>seen</c> or <c>later</c>.</param>
/// <param name="For">How long it waits, up to 30 days.</param>
public sealed record AnswerPayload(string Episode, string Kind, TimeSpan? For)
{
    /// <summary>The longest wait, whichever way the answer comes.</summary>
    public static readonly TimeSpan LongestWait = TimeSpan.FromDays(30);

    /// <summary>Reads the payload, or says why it cannot be taken.</summary>
    public static (AnswerPayload? Answer, string? Reason) Read(ReadOnlyMemory<byte> payload)
    {
        const string Shape =
            "an answer looks like {\"episode\":\"…\",\"kind\":\"seen\"} or {\"episode\":\"…\",\"kind\":\"later\",\"for\":\"6h\"}";
        if (payload.Length > 4096)
            return (null, $"the answer is longer than 4096 bytes; {Shape}");
        try
        {
            using var json = JsonDocument.Parse(payload, new JsonDocumentOptions { MaxDepth = 4 });
            var root = json.RootElement;
            if (root.ValueKind != JsonValueKind.Object || Text(root, "episode") is not { Length: > 0 } episode)
                return (null, $"the answer names no episode; {Shape}");
            switch (Text(root, "kind"))
            {
                case "seen":
                    return (new AnswerPayload(episode, "seen", null), null);
                case "later":
                    return Span(Text(root, "for")) is { } span && span > TimeSpan.Zero && span <= LongestWait
                        ? (new AnswerPayload(episode, "later", span), null)
                        : (null, $"\"for\" is no length of time up to 720h; {Shape}");
                default:
                    return (null, $"the kind is neither seen nor later; {Shape}");
            }
        }
        catch (JsonException)
        {
            return (null, $"the answer is no JSON; {Shape}");
        }
        catch (InvalidOperationException)
        {
            // Half a surrogate pair or a broken byte shows only when the text is asked for.
            return (null, $"the answer holds text that is not valid Unicode; {Shape}");
        }
    }

    private static string? Text(JsonElement root, string name) =>
        root.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;

    /// <summary>Hours or minutes: <c>6h</c>, <c>90m</c>.</summary>
    private static TimeSpan? Span(string? text) =>
        text is { Length: >= 2 and <= 6 }
        && int.TryParse(
            text.AsSpan(0, text.Length - 1),
            System.Globalization.NumberStyles.None,
            System.Globalization.CultureInfo.InvariantCulture,
            out var number)
            ? text[^1] switch
            {
                'h' => TimeSpan.FromHours(number),
                'm' => TimeSpan.FromMinutes(number),
                _ => null,
            }
            : null;
}
