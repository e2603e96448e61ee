using System.Text;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>What can be read from a message of which nothing is known yet.</summary>
/// <param name="Values">The values.</param>
/// <param name="Nothing">Why there are none, a sentence part.</param>
internal sealed record PayloadSight(IReadOnlyList<SeenValue> Values, Sentence? Nothing)
{
    private const int MostValues = 100;
    private const int MaxDepth = 64;

    /// <summary>Looks at a message. Whatever its bytes are, it answers.</summary>
    /// <param name="payload">Its bytes.</param>
    /// <param name="at">When it came.</param>
    public static PayloadSight Of(ReadOnlyMemory<byte> payload, DateTimeOffset at)
    {
        if (payload.Length > PayloadMap.MaxPayloadBytes)
            return None($"{payload.Length} bytes are more than the {PayloadMap.MaxPayloadBytes} that are read");
        if (payload.Span.StartsWith("\uFEFF"u8))
            payload = payload[3..];
        var bytes = payload.Span.Trim(" \t\r\n\0"u8);
        if (bytes.IsEmpty)
            return None($"the message is empty");
        if (bytes[0] is (byte)'{' or (byte)'[')
            return OfJson(payload, at) is { } json
                ? json
                : OfText(payload.Span) ?? None($"it is neither JSON that can be read nor a line of values");
        if (bytes is [(byte)'"', .., (byte)'"'])
            bytes = bytes[1..^1];
        return SeenValue.Bare(bytes) is { } value ? new PayloadSight([value], null)
            : OfText(payload.Span)
                ?? None(NumberReader.Read(bytes, decimalComma: false, out _).Reason ?? $"nothing in it is a number");
    }

    private static PayloadSight None(Sentence why) => new([], why);

    private static PayloadSight? OfJson(ReadOnlyMemory<byte> payload, DateTimeOffset at)
    {
        var json = payload[..payload.Span.TrimEnd((byte)0).Length];
        if (LenientJson.IsDeeperThan(json.Span, MaxDepth))
            return None($"the JSON is nested deeper than {MaxDepth} levels");
        var document = LenientJson.TryParse(json, MaxDepth, out var problem);
        if (document is null && LenientJson.NullBareWords(json.Span) is { } repaired)
            document = LenientJson.TryParse(repaired, MaxDepth, out _);
        if (document is null)
            return None(problem!);
        using (document)
        {
            try
            {
                var values = SenmlSight.Of(document.RootElement, at) ?? new JsonSight().Of(document.RootElement);
                return values.Count == 0 ? None($"the JSON holds no number") : new PayloadSight([.. values.Take(MostValues)], null);
            }
            catch (InvalidOperationException)
            {
                return None($"the JSON holds text that is not valid Unicode");
            }
        }
    }

    /// <summary>A line with several values; unnamed ones count only where all are numbers, since a sentence has numbers too.</summary>
    private static PayloadSight? OfText(ReadOnlySpan<byte> bytes)
    {
        foreach (var comma in (ReadOnlySpan<bool>)[false, true])
        {
            if (TextPieces.Split(bytes, comma, out _) is not { } pieces)
                continue;
            List<SeenValue> values = [];
            string? time = null;
            var others = 0;
            var needsZone = false;
            foreach (var (name, text, place) in pieces.All)
            {
                // With a comma as decimal mark, the text has been cut in the wrong places.
                if (!comma
                    && (
                        name is [var first, ..] && char.IsAsciiDigit(first)
                            || SeenValue.Bare(Encoding.UTF8.GetBytes(text)) is { DecimalComma: true }))
                {
                    values.Clear();
                    break;
                }

                var path = name ?? FormattableString.Invariant($"[{place}]");
                if (TimeSight.Of(text, name, out var zoneless))
                    (time, needsZone) = (path, zoneless);
                else if (SeenValue.Bare(Encoding.UTF8.GetBytes(text)) is { } value && (!value.DecimalComma || comma))
                    values.Add(
                        value with { Shape = MessageShape.Text, Path = path, Names = name is null ? [] : [name], DecimalComma = comma });
                else if (name is null)
                    others++;
            }

            if (values.Count > 0 && others == 0 && pieces.All.Count() > (values[0].Names.Count > 0 ? 0 : 1))
                return new PayloadSight(
                    [.. values.Take(MostValues).Select(value => value with { TimePath = time, TimeNeedsZone = needsZone })], null);
        }

        return null;
    }
}
