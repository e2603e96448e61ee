using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>A number in a JSON message, as number or as text.</summary>
internal static class JsonNumber
{
    /// <summary>Reads it, or says why it is none.</summary>
    /// <param name="value">The value.</param>
    /// <param name="decimalComma">Text has a decimal comma.</param>
    internal static NumberResult Read(JsonElement value, bool decimalComma) =>
        value.ValueKind is JsonValueKind.Number or JsonValueKind.String
            ? NumberReader.Read(TextOf(value), decimalComma && value.ValueKind == JsonValueKind.String)
            : NoNumber(value);

    /// <summary>
    /// The bytes of a number as written, or of a text without its quotes; those of a switch are <c>true</c> and <c>false</c>.
    /// </summary>
    internal static ReadOnlySpan<byte> TextOf(JsonElement value)
    {
        var raw = JsonMarshal.GetRawUtf8Value(value);
        return value.ValueKind != JsonValueKind.String ? raw
            : raw.Contains((byte)'\\') ? Encoding.UTF8.GetBytes(value.GetString()!)
            : raw[1..^1];
    }

    /// <summary>Why a value that is neither a number nor a text is no reading.</summary>
    internal static NumberResult NoNumber(JsonElement value) => value.ValueKind switch
    {
        JsonValueKind.Null => NumberResult.None($"the value is null"),
        JsonValueKind.Array => NumberResult.Refuse(
            $"the value is a list of {value.GetArrayLength()}: a path with a place, such as [0], takes one entry, and with [*] each"),
        _ => NumberResult.Refuse($"the value is of kind {new English(value.ValueKind.ToString().ToLowerInvariant())}, not a number"),
    };
}
