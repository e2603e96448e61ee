using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Forecasts;

/// <summary>A forecast's bytes as JSON.</summary>
internal static class ForecastDocument
{
    private const int MaxDepth = 64;

    /// <summary>Parses a forecast's bytes, or says why they are none.</summary>
    internal static JsonDocument? Parse(ReadOnlyMemory<byte> payload, ForecastRemarks remarks, out string? problem)
    {
        problem = null;
        if (payload.Length > ForecastReader.MaxBytes)
            problem = string.Create(
                CultureInfo.InvariantCulture,
                $"{payload.Length} bytes are more than the {ForecastReader.MaxBytes} that are read; "
                    + $"ask the source for fewer days or quantities");
        if (payload.Span.StartsWith("\uFEFF"u8))
            payload = payload[3..];
        var text = payload.Span.TrimStart(" \t\r\n"u8);
        if (text.IsEmpty)
            problem ??= "the answer is empty";
        else if (text[0] == '<')
            problem ??= "this is a web page, not a forecast: open the address in a browser to see what it says, and check it";
        else if (LenientJson.IsDeeperThan(payload.Span, MaxDepth))
            problem ??= $"the JSON is nested deeper than {MaxDepth} levels";
        if (problem is not null)
            return null;
        if (LenientJson.TryParse(payload, MaxDepth, out var broken) is { } document)
            return document;
        if (LenientJson.NullBareWords(payload.Span) is { } repaired && LenientJson.TryParse(repaired, MaxDepth, out _) is { } lenient)
        {
            remarks.Add("bare words such as nan are not JSON; they were read as null");
            return lenient;
        }

        problem = broken!.Text;
        return null;
    }
}
