namespace BackyardSentinel.Sensors;

/// <summary>
/// Turns a message into readings by the series' maps. Answers with readings and reasons; whatever the bytes are, it
/// does not throw. Not thread-safe: the single reader of the loop owns it.
/// </summary>
public sealed class PayloadMap
{
    /// <summary>Payloads above this size are kept aside unread, bytes.</summary>
    public const int MaxPayloadBytes = 256 * 1024;

    private readonly Dictionary<string, List<SensorSeries>> _byTopic = new(StringComparer.Ordinal);
    private readonly Dictionary<string, SensorSeries> _byName = new(StringComparer.Ordinal);

    /// <summary>Makes the map of all series.</summary>
    /// <param name="series">The series; names must differ.</param>
    /// <param name="timesAreTheClock">The readings' own times are the clock (demo and proofs), so none is too far ahead.</param>
    /// <exception cref="ArgumentException">A path cannot be read, a topic has a wildcard, or a series is given twice.</exception>
    public PayloadMap(IReadOnlyList<SeriesMap> series, bool timesAreTheClock = false)
    {
        foreach (var map in series)
        {
            if (map.Topic.Length == 0 || map.Topic.AsSpan().ContainsAny('+', '#'))
                throw new ArgumentException($"Topic \"{map.Topic}\" must be one exact topic without + or #.", nameof(series));
            var one = new SensorSeries(map, timesAreTheClock);
            if (!_byName.TryAdd(map.Name, one))
                throw new ArgumentException($"Series {map.Name} is given twice.", nameof(series));
            if (!_byTopic.TryGetValue(map.Topic, out var list)) _byTopic.Add(map.Topic, list = []);
            list.Add(one);
        }
    }

    /// <summary>The topics to subscribe to: exact and each once, so that no message comes twice.</summary>
    public IReadOnlyCollection<string> Topics => _byTopic.Keys;

    /// <summary>All series.</summary>
    public IEnumerable<SeriesMap> Series => _byName.Values.Select(one => one.Map);

    /// <summary>Tells where a rain total stood before the restart.</summary>
    /// <param name="total">The stored total; ignored if the series is no longer configured.</param>
    public void Seed(RainTotal total)
    {
        if (_byName.TryGetValue(total.Series, out var one)) one.Seed(total);
    }

    /// <summary>Reads one message.</summary>
    /// <param name="topic">Its topic.</param>
    /// <param name="payload">Its bytes.</param>
    /// <param name="receivedAt">When it was taken up.</param>
    /// <param name="retained">It is the broker's stored copy, so its age is unknown unless it carries a time.</param>
    /// <param name="redelivered">The broker says that it has sent this message before.</param>
    public PayloadResult Read(
        string topic,
        ReadOnlyMemory<byte> payload,
        DateTimeOffset receivedAt,
        bool retained,
        bool redelivered = false)
    {
        var result = new PayloadResult();
        if (!_byTopic.TryGetValue(topic, out var series))
            result.Say(RemarkKind.Refused, null, $"no series has this topic");
        else if (payload.Length > MaxPayloadBytes)
            result.Say(RemarkKind.Refused, null, $"{payload.Length} bytes are more than the {MaxPayloadBytes} that are read");
        else if (payload.IsEmpty)
            result.Say(RemarkKind.NoReading, null, $"empty payload: the series is cleared");
        else if (payload.Span.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE]) || payload.Span.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF]))
            result.Say(RemarkKind.Refused, null, $"the message is in UTF-16, and UTF-8 is read");
        else
            ReadText(
                payload.Span.StartsWith("\uFEFF"u8) ? payload[3..] : payload,
                series,
                new Arrival(receivedAt, retained, redelivered),
                result);
        return result;
    }

    /// <summary>A reason why a message was kept aside can be that of a series with this path: it names no other series' path.</summary>
    /// <param name="reason">The reason, as it was kept.</param>
    /// <param name="path">The series' path; <c>null</c>: its whole message is the number.</param>
    public static bool MayConcern(string reason, string? path) =>
        !reason.StartsWith(SensorSeries.NothingAt, StringComparison.Ordinal)
        || reason.StartsWith($"{SensorSeries.NothingAt}{path};", StringComparison.Ordinal);

    private static void ReadText(ReadOnlyMemory<byte> payload, List<SensorSeries> series, Arrival arrival, PayloadResult result)
    {
        using var body = new MessageBody(payload, result);
        var mayNameUnit = payload.Span.IndexOf("unit"u8) >= 0;
        foreach (var one in series)
        {
            try
            {
                switch (one.Map.Shape)
                {
                    case MessageShape.Senml:
                        FromSenml.Take(one, body, arrival, result);
                        break;
                    case MessageShape.Text:
                        FromText.Take(one, body, arrival, result);
                        break;
                    default:
                        FromJson.Take(one, body, mayNameUnit, arrival, result);
                        break;
                }
            }
            catch (InvalidOperationException)
            {
                // The parser leaves text unchecked until it is asked for: half a surrogate pair or a broken byte shows here.
                result.Say(RemarkKind.Refused, one.Map.Name, $"the JSON holds text that is not valid Unicode");
            }
        }
    }
}
