using System.Text.Json;
using BackyardSentinel.Configuration;
using BackyardSentinel.Sensors;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Proposing;

/// <summary>Collects what comes by topics, value by value. What the program itself publishes is counted and left out.</summary>
/// <param name="own">The program's own topics.</param>
internal sealed class HeardMessages(OwnTopics own)
{
    /// <summary>More series and topics than any garden has; a flood must not fill the memory.</summary>
    private const int MostSeries = 2000, MostTopics = 5000;

    private const string StateTopic = "/state";

    private readonly Dictionary<(string Topic, MessageShape Shape, string? Path), HeardSeries> _series = [];
    private readonly Dictionary<string, Sentence> _nothing = new(StringComparer.Ordinal);
    private readonly HashSet<string> _topics = new(StringComparer.Ordinal), _own = new(StringComparer.Ordinal);
    private readonly HashSet<string> _others = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> _units = new(StringComparer.Ordinal);

    /// <summary>How many messages came, without our own.</summary>
    public int Messages { get; private set; }

    /// <summary>More came than is kept: of what is told some may be missing.</summary>
    public bool IsCut { get; private set; }

    /// <summary>On how many topics.</summary>
    public int Topics => _topics.Count;

    /// <summary>How many topics of our own came.</summary>
    public int OwnTopics => _own.Count;

    /// <summary>What was heard, by topic, in the order of the message.</summary>
    public IEnumerable<HeardSeries> Series =>
        _series.Values.Where(one => !IsOfAnother(one.Topic)).OrderBy(one => one.Topic, StringComparer.Ordinal);

    /// <summary>Topics of which no value could be had, with the reason.</summary>
    public IEnumerable<(string Topic, Sentence Reason)> Silent =>
        _nothing.Where(one => !IsOfAnother(one.Key) && !_series.Keys.Any(key => key.Topic == one.Key))
            .OrderBy(one => one.Key, StringComparer.Ordinal)
            .Select(one => (one.Key, one.Value));

    /// <summary>The unit that a topic's device tells elsewhere; <c>null</c>: none.</summary>
    public string? UnitOf(string topic) => _units.GetValueOrDefault(topic);

    /// <summary>A message came.</summary>
    public void Take(string topic, ReadOnlyMemory<byte> payload, bool retained, DateTimeOffset at)
    {
        if (own.IsOurs(topic))
        {
            if (_own.Count < MostTopics)
                _own.Add(topic);
            return;
        }

        if (topic.EndsWith(StateTopic, StringComparison.Ordinal) && IsStateOfOne(payload) && _others.Count < MostTopics)
            _others.Add(topic[..^"state".Length]);
        Messages++;
        if (_topics.Count < MostTopics)
            _topics.Add(topic);
        else
            IsCut |= !_topics.Contains(topic);
        if (topic.Split('/') is ["homie", _, var device, "$description"])
            TakeDescription(topic[..^"$description".Length], device, payload);
        else if (Reason(topic) is { } reason)
            Say(topic, reason);
        else
            TakeValues(topic, payload, retained, at);
    }

    private void TakeValues(string topic, ReadOnlyMemory<byte> payload, bool retained, DateTimeOffset at)
    {
        var sight = PayloadSight.Of(payload, at);
        if (sight.Nothing is { } nothing)
            Say(topic, nothing);
        foreach (var value in sight.Values)
        {
            var key = (topic, value.Shape, value.Path);
            if (!_series.TryGetValue(key, out var series))
            {
                if (_series.Count >= MostSeries)
                {
                    IsCut = true;
                    continue;
                }

                _series.Add(key, series = new HeardSeries(topic, value));
            }

            series.Take(value, payload, at, retained);
        }
    }

    /// <summary>It lies under the topic root of another service of this kind, whose results are no sensors.</summary>
    private bool IsOfAnother(string topic) => _others.Any(root => topic.StartsWith(root, StringComparison.Ordinal));

    /// <summary>What a service of this kind says of itself, kept by the broker.</summary>
    private static bool IsStateOfOne(ReadOnlyMemory<byte> payload)
    {
        if (LenientJson.TryParse(payload, 4, out _) is not { } document)
            return false;
        using (document)
        {
            return document.RootElement is { ValueKind: JsonValueKind.Object } told
                && told.TryGetProperty("state", out var state)
                && state.ValueKind == JsonValueKind.String
                && state.GetString() is "watching" or "stopped" or "lost"
                && told.EnumerateObject().All(one => one.Name is "state" or "since");
        }
    }

    /// <summary>What a topic's name alone says against it.</summary>
    private static Sentence? Reason(string topic) =>
        topic.Any(char.IsControl) ? $"its name holds a control character"
        : topic.StartsWith('$') ? $"it belongs to the broker itself"
        : topic.Split('/')[^1] is var last && last is "set" or "get" ? $"it is a command or a question, no measurement"
        : last.StartsWith('$') ? (Sentence)$"it describes a device"
        : null;

    private void Say(string topic, Sentence reason)
    {
        if (_nothing.Count < MostTopics)
            _nothing[topic] = reason;
    }

    /// <summary>A device of the Homie 5 convention tells the units of its properties in its description.</summary>
    private void TakeDescription(string root, string device, ReadOnlyMemory<byte> payload)
    {
        Say(root + "$description", $"it describes the device {new Name(device)}");
        if (LenientJson.TryParse(payload, 64, out _) is not { } document)
            return;
        using (document)
        {
            foreach (var node in Named(document.RootElement, "nodes"))
            {
                foreach (var property in Named(node.Value, "properties"))
                {
                    if (
                        property.Value.ValueKind == JsonValueKind.Object
                        && property.Value.TryGetProperty("unit", out var unit)
                        && unit.ValueKind == JsonValueKind.String
                        && _units.Count < MostTopics)
                        _units[$"{root}{node.Name}/{property.Name}"] = unit.GetString()!;
                }
            }
        }
    }

    private static JsonElement.ObjectEnumerator Named(JsonElement holder, string name) =>
        holder.ValueKind == JsonValueKind.Object && holder.TryGetProperty(name, out var inner) && inner.ValueKind == JsonValueKind.Object
            ? inner.EnumerateObject()
            : default;
}
