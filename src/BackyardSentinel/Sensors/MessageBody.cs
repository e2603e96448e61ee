using System.Text.Json;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>One message's bytes in the forms that series want to see; each form is made when it is first asked for.</summary>
internal sealed class MessageBody(ReadOnlyMemory<byte> payload, PayloadResult result) : IDisposable
{
    /// <summary>More values than this in one message are refused.</summary>
    public const int MostPoints = 1000;

    private const int MaxDepth = 64;

    private JsonDocument? _json;
    private (List<SenmlRecord> Records, Sentence? Fault)? _pack;
    private (TextPieces? Pieces, bool DecimalComma)? _text;
    private (SeriesMap Series, OwnTime Time)? _time;
    private bool _parsed;

    public ReadOnlySpan<byte> Bytes => payload.Span;

    /// <summary>The JSON's root; <c>null</c>: it is none, and that has been said.</summary>
    public JsonElement? Json
    {
        get
        {
            if (!_parsed) (_parsed, _json) = (true, Parse());
            return _json?.RootElement;
        }
    }

    /// <summary>The time that was read for a series with the same path and zone; <c>null</c>: not the last one.</summary>
    public OwnTime? TimeOf(SeriesMap series) =>
        _time is { } known && known.Series.TimePath == series.TimePath && known.Series.Zone == series.Zone ? known.Time : null;

    /// <summary>Keeps the time that was read for a series: most messages have one for all their values.</summary>
    public void Keep(SeriesMap series, OwnTime time) => _time = (series, time);

    /// <summary>The records of a SenML pack; <c>null</c>: it is none, and that has been said.</summary>
    public List<SenmlRecord>? Records(DateTimeOffset now)
    {
        if (Json is not { } root)
            return null;
        if (_pack is null)
        {
            _pack = SenmlPack.Read(root, now, MostPoints);
            if (_pack is { Fault: { } fault })
                result.Say(RemarkKind.Refused, null, fault);
        }

        return _pack is { Fault: null, Records: var records } ? records : null;
    }

    /// <summary>The pieces of a text; <c>null</c>: it cannot be split, and that has been said.</summary>
    public TextPieces? Pieces(bool decimalComma)
    {
        if (_text is { } known && known.DecimalComma == decimalComma)
            return known.Pieces;
        var pieces = TextPieces.Split(payload.Span, decimalComma, out var reason);
        if (reason is not null)
            result.Say(RemarkKind.Refused, null, reason);
        _text = (pieces, decimalComma);
        return pieces;
    }

    public void Dispose() => _json?.Dispose();

    private JsonDocument? Parse()
    {
        if (LenientJson.IsDeeperThan(payload.Span, MaxDepth))
        {
            result.Say(RemarkKind.Refused, null, $"the JSON is nested deeper than {MaxDepth} levels");
            return null;
        }

        var json = payload[..payload.Span.TrimEnd((byte)0).Length];
        if (json.Length < payload.Length)
            result.Say(RemarkKind.Note, null, $"what follows the JSON, bytes of 0, is left out");
        if (LenientJson.TryParse(json, MaxDepth, out var problem) is { } document)
            return document;
        if (LenientJson.NullBareWords(json.Span) is { } repaired && LenientJson.TryParse(repaired, MaxDepth, out _) is { } lenient)
        {
            result.Say(RemarkKind.Note, null, $"bare words such as nan are not JSON; they were read as null");
            return lenient;
        }

        result.Say(RemarkKind.Refused, null, problem!);
        return null;
    }
}
