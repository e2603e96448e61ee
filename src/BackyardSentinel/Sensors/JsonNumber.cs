using System.Text.Json;

namespace BackyardSentinel.Sensors;

/// <summary>A number in a JSON message, as number or as text.</summary>
internal static class JsonNumber
{
    /// <summary>Reads it, or says why it is none.</summary>
    /// <param name="value">The value.</param>
    /// <param name="decimalComma">Text has a decimal comma.</param>
    internal static NumberResult Read(JsonElement value, bool decimalComma) => value.ValueKind switch
    {
        JsonValueKind.Number => NumberReader.Read(value.GetRawText()),
        JsonValueKind.String => NumberReader.Read(value.GetString()!, decimalComma),
        JsonValueKind.Null => NumberResult.None("the value is null"),
        _ => NumberResult.Refuse($"the value is of kind {value.ValueKind.ToString().ToLowerInvariant()}, not a number"),
    };
}
