using System.Text.Json;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Sensors;

/// <summary>
/// Turns a message into readings by the series' maps. Answers with readings and reasons; whatever the bytes are, it
/// does not throw. Not thread-safe: the single reader of the loop owns it.
/// </summary>
public sealed class PayloadMap
{
    /// <summary>Payloads above this size are kept aside unread, bytes.</summary>
    public const int MaxPayloadBytes = 256 * 1024;

    private const string NothingAt = "nothing at path ";

    private const int MaxDepth = 64;

    /// <summary>So many messages without the path's field are told where it was never there, and where it was.</summary>
    private const int MissedWhenNew = 3, MissedWhenKnown = 20;

    private static readonly TimeSpan Ahead = TimeSpan.FromMinutes(10);
    private static readonly TimeSpan LongestHole = TimeSpan.FromDays(730);
    private static readonly DateTimeOffset Earliest = new(2000, 1, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly Dictionary<string, List<Entry>> _byTopic = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Entry> _byName = new(StringComparer.Ordinal);
    private readonly bool _timesAreTheClock;

    private sealed record Entry(SeriesMap Map, JsonPath? Path, JsonPath? TimePath, RainGauge? Gauge)
    {
        public long LastArrivalMs { get; set; } = long.MinValue;

        /// <summary>The path has led to something since the start.</summary>
        public bool WasFound { get; set; }

        /// <summary>Messages in a row in which the path led nowhere.</summary>
        public int Missed { get; set; }
    }

    /// <summary>Makes the map of all series.</summary>
    /// <param name="series">The series; names must differ.</param>
    /// <param name="timesAreTheClock">The readings' own times are the clock (demo and proofs), so none is too far ahead.</param>
    /// <exception cref="ArgumentException">A path cannot be read, a topic has a wildcard, or a series is given twice.</exception>
    public PayloadMap(IReadOnlyList<SeriesMap> series, bool timesAreTheClock = false)
    {
        _timesAreTheClock = timesAreTheClock;
        foreach (var map in series)
        {
            if (map.Topic.Length == 0 || map.Topic.AsSpan().ContainsAny('+', '#'))
                throw new ArgumentException($"Topic \"{map.Topic}\" must be one exact topic without + or #.", nameof(series));
            var entry = new Entry(map, Path(map.Path), Path(map.TimePath), map.RainIsTotal ? new RainGauge(map.Name, map.Unit) : null);
            if (!_byName.TryAdd(map.Name, entry))
                throw new ArgumentException($"Series {map.Name} is given twice.", nameof(series));
            if (!_byTopic.TryGetValue(map.Topic, out var list)) _byTopic.Add(map.Topic, list = []);
            list.Add(entry);
        }
    }

    /// <summary>The topics to subscribe to: exact and each once, so that no message comes twice.</summary>
    public IReadOnlyCollection<string> Topics => _byTopic.Keys;

    /// <summary>All series.</summary>
    public IEnumerable<SeriesMap> Series => _byName.Values.Select(entry => entry.Map);

    /// <summary>Tells where a rain total stood before the restart.</summary>
    /// <param name="total">The stored total; ignored if the series is no longer configured.</param>
    public void Seed(RainTotal total)
    {
        if (_byName.TryGetValue(total.Series, out var entry)) entry.Gauge?.Seed(total.TotalMm, total.Time);
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
        if (!_byTopic.TryGetValue(topic, out var entries))
            return Say(result, RemarkKind.Refused, null, "no series has this topic");
        if (payload.Length > MaxPayloadBytes)
            return Say(result, RemarkKind.Refused, null, $"{payload.Length} bytes are more than the {MaxPayloadBytes} that are read");
        if (payload.IsEmpty) return Say(result, RemarkKind.NoReading, null, "empty payload: the series is cleared");
        if (payload.Span.StartsWith("\uFEFF"u8)) payload = payload[3..];

        var arrival = new Arrival(receivedAt, retained, redelivered);
        using var json = entries.Exists(entry => entry.Path is not null || entry.TimePath is not null) ? Parse(payload, result) : null;
        foreach (var entry in entries) TakeOne(result, entry, payload.Span, json, arrival);
        return result;
    }

    private readonly record struct Arrival(DateTimeOffset At, bool Retained, bool Redelivered);

    private void TakeOne(PayloadResult result, Entry entry, ReadOnlySpan<byte> payload, JsonDocument? json, Arrival arrival)
    {
        try
        {
            if (entry.Path is null) Take(result, entry, Number(payload, entry.Map.DecimalComma), json, arrival);
            else if (json is null) return;
            else if (entry.Path.Find(json.RootElement) is { } value)
            {
                (entry.WasFound, entry.Missed) = (true, 0);
                Take(result, entry, JsonNumber.Read(value, entry.Map.DecimalComma), json, arrival);
            }
            else
            {
                Missed(result, entry, json.RootElement);
            }
        }
        catch (InvalidOperationException)
        {
            // The parser leaves text unchecked until it is asked for: half a surrogate pair or a broken byte shows here.
            Say(result, RemarkKind.Refused, entry.Map.Name, "the JSON holds text that is not valid Unicode");
        }
    }

    /// <summary>A reason why a message was kept aside can be that of a series with this path: it names no other series' path.</summary>
    /// <param name="reason">The reason, as it was kept.</param>
    /// <param name="path">The series' path; <c>null</c>: its whole message is the number.</param>
    public static bool MayConcern(string reason, string? path) =>
        !reason.StartsWith(NothingAt, StringComparison.Ordinal)
        || reason.StartsWith($"{NothingAt}{path};", StringComparison.Ordinal);

    /// <summary>Many sensors leave out what has not changed; a path that never leads anywhere, or no longer does, is a mistake.</summary>
    private static void Missed(PayloadResult result, Entry entry, JsonElement root)
    {
        var path = entry.Path!.Text;
        var fields = PayloadFields.Of(root);
        var near = PayloadFields.Nearest(path, fields);
        entry.Missed++;
        if (entry.Missed < (entry.WasFound ? MissedWhenKnown : near is null ? MissedWhenNew : 1))
        {
            Say(result, RemarkKind.NoReading, entry.Map.Name, $"nothing at path {path} in this message");
            return;
        }

        var has = fields.Count == 0 ? "no number" : string.Join(", ", fields);
        Say(
            result,
            RemarkKind.Refused,
            entry.Map.Name,
            $"{NothingAt}{path}; the message has {has}{(near is null ? "" : $"; is the path {near}?")}");
    }

    private void Take(PayloadResult result, Entry entry, NumberResult number, JsonDocument? json, Arrival arrival)
    {
        var name = entry.Map.Name;
        if (number.Outcome != NumberOutcome.Number)
        {
            Say(result, number.Outcome == NumberOutcome.NoReading ? RemarkKind.NoReading : RemarkKind.Refused, name, number.Reason!);
            return;
        }

        var value = entry.Map.ToCanonical(number.Value);
        if (!double.IsFinite(value))
        {
            Say(result, RemarkKind.Refused, name, "the value is beyond any number's range after scaling");
            return;
        }

        var ownTime = OwnTime(result, entry, json, arrival.At);
        if (ownTime is null && arrival.Retained)
        {
            Say(result, RemarkKind.NoReading, name, "retained, age unknown");
            return;
        }

        if (ownTime is null && _timesAreTheClock && arrival.At < Earliest)
        {
            Say(result, RemarkKind.Refused, name, "it has no time that can be right, and no reading before it has begun the log");
            return;
        }

        var time = ownTime ?? ArrivalTime(entry, arrival.At);
        if (entry.Gauge is { } gauge)
        {
            var amount = gauge.Advance(value, time, ownTime is not null, arrival.Redelivered, out var remark, out var moved);
            if (moved) result.Totals.Add(new RainTotal(name, gauge.Counted.Total, gauge.Counted.Time));
            if (remark is { } said) result.Remarks.Add(said);
            if (amount is null) return;
            value = amount.Value;
        }

        result.Readings.Add(new SeriesReading(entry.Map, new Reading(entry.Map.Quantity, time, value, default, entry.Map.Rank)));
    }

    private DateTimeOffset? OwnTime(PayloadResult result, Entry entry, JsonDocument? json, DateTimeOffset receivedAt)
    {
        if (entry.TimePath is null || json is null) return null;
        string? reason;
        if (entry.TimePath.Find(json.RootElement) is not { } value) reason = $"no time at path {entry.TimePath.Text}";
        else if (!TimeReader.TryRead(value, out var time, out reason)) { }
        else if (time < Earliest) reason = "the sensor's time lies before 2000";
        else if (_timesAreTheClock && IsBeyond(time, receivedAt)) reason = "the sensor's time lies years ahead of the log's";
        else if (!_timesAreTheClock && time > receivedAt + Ahead) reason = "the sensor's time lies more than 10 minutes ahead";
        else return time;
        Say(result, RemarkKind.Note, entry.Map.Name, reason + "; the time of arrival is taken");
        return null;
    }

    /// <summary>Where the readings' times are the clock, one alone must not move it by years: no recorded log has such a hole.</summary>
    private static bool IsBeyond(DateTimeOffset time, DateTimeOffset clock) =>
        time.Year > 2100 || (clock >= Earliest && time - clock > LongestHole);

    /// <summary>Whole milliseconds, later than the series' last: two messages in one millisecond are two readings.</summary>
    private static DateTimeOffset ArrivalTime(Entry entry, DateTimeOffset receivedAt)
    {
        // A clock that was set back must not hold the times of arrival where it stood.
        if (entry.LastArrivalMs > (receivedAt + Ahead).ToUnixTimeMilliseconds()) entry.LastArrivalMs = long.MinValue;
        var ms = Math.Max(receivedAt.ToUnixTimeMilliseconds(), entry.LastArrivalMs + 1);
        entry.LastArrivalMs = ms;
        return DateTimeOffset.FromUnixTimeMilliseconds(ms);
    }

    private static NumberResult Number(ReadOnlySpan<byte> payload, bool decimalComma)
    {
        var inner = payload.Trim(" \t\r\n\0"u8);
        return inner.Length >= 2 && inner[0] == '"' && inner[^1] == '"'
            ? NumberReader.Read(inner[1..^1], decimalComma)
            : NumberReader.Read(inner, decimalComma);
    }

    private static JsonDocument? Parse(ReadOnlyMemory<byte> payload, PayloadResult result)
    {
        if (LenientJson.IsDeeperThan(payload.Span, MaxDepth))
        {
            Say(result, RemarkKind.Refused, null, $"the JSON is nested deeper than {MaxDepth} levels");
            return null;
        }

        payload = payload[..(payload.Span.TrimEnd((byte)0).Length)];
        if (LenientJson.TryParse(payload, MaxDepth, out var problem) is { } document) return document;
        if (LenientJson.NullBareWords(payload.Span) is { } repaired && LenientJson.TryParse(repaired, MaxDepth, out _) is { } lenient)
        {
            Say(result, RemarkKind.Note, null, "bare words such as nan are not JSON; they were read as null");
            return lenient;
        }

        Say(result, RemarkKind.Refused, null, problem);
        return null;
    }

    private static JsonPath? Path(string? text) =>
        text is null ? null
        : JsonPath.TryParse(text, out var path, out var reason) ? path
        : throw new ArgumentException(reason, nameof(text));

    private static PayloadResult Say(PayloadResult result, RemarkKind kind, string? series, string reason)
    {
        result.Remarks.Add(new PayloadRemark(kind, series, reason));
        return result;
    }
}
