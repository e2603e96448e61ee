using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using BackyardSentinel.Mqtt;
using MQTTnet.Protocol;

namespace BackyardSentinel.Homie;

/// <summary>
/// The service as one device of the Homie convention, version 5: what it is, what it measures and judges, and its
/// troubles. Only makes messages, and only those that change something; for one thread.
/// </summary>
public sealed class HomieDevice
{
    /// <summary>First part of the convention's topics.</summary>
    public const string Domain = "homie";

    private static readonly JsonWriterOptions Plain = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    private readonly HomieNode[] _nodes;
    private readonly long _version;
    private readonly string _root;
    private readonly Dictionary<string, byte[]> _said = new(StringComparer.Ordinal);

    /// <summary>Makes the device of a garden.</summary>
    /// <param name="clientId">The client id at the broker; the device's id is made from it.</param>
    /// <param name="sites">The sites, in the garden's order.</param>
    /// <param name="startedAt">
    /// When the program started. Its seconds since 1970 are the description's version: a description changes only with
    /// the garden file or the program, and both take a start.
    /// </param>
    public HomieDevice(string clientId, IReadOnlyList<Site> sites, DateTimeOffset startedAt)
    {
        Id = HomieText.Id(clientId, "sentinel");
        _root = $"{Domain}/5/{Id}";
        _version = startedAt.ToUnixTimeSeconds();
        _nodes = [.. Nodes(sites)];
    }

    /// <summary>The device's id: a–z, 0–9, hyphen.</summary>
    public string Id { get; }

    /// <summary>The life of <c>$state</c>: init, then ready once all is sent; disconnected; lost as the last will.</summary>
    public LinkPresence Presence => new($"{_root}/$state", _ => Bytes("init"), _ => Bytes("disconnected"), Bytes("lost"))
    {
        AllSent = Bytes("ready"),
        // Recommended by the convention for everything that is retained.
        QualityOfService = MqttQualityOfServiceLevel.ExactlyOnce,
    };

    /// <summary>
    /// What has changed since the last call; the first call gives the description and every value. A value that is
    /// missing deletes its topic, for the data types have no word for it and an old one must not stand.
    /// </summary>
    /// <param name="watches">The watches of the sites; one that is left out stays as it was.</param>
    public IReadOnlyList<OutgoingMessage> Messages(IEnumerable<SiteWatch> watches)
    {
        var changed = new List<OutgoingMessage>();
        if (!_said.ContainsKey($"{_root}/$description")) Say($"{_root}/$description", Description(), changed);
        var bySite = watches.ToDictionary(watch => watch.Site.Id, StringComparer.Ordinal);
        foreach (var node in _nodes)
        {
            if (!bySite.TryGetValue(node.Site, out var watch)) continue;
            foreach (var property in node.Properties) Say($"{_root}/{node.Id}/{property.Id}", Bytes(property.Value(watch) ?? ""), changed);
        }

        return changed;
    }

    /// <summary>A trouble to be shown to people until it is cleared.</summary>
    /// <param name="id">Which; always the same for the same trouble, such as <c>south-wall-humidity</c>.</param>
    /// <param name="text">One sentence.</param>
    /// <returns>The message, or none when it is said already.</returns>
    public IReadOnlyList<OutgoingMessage> SetAlert(string id, string text)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(text);
        return Alert(id, Bytes(text));
    }

    /// <summary>A trouble is over, or was found absent at the start, when the broker may still keep one of an earlier run.</summary>
    /// <param name="id">Which.</param>
    /// <returns>The message that deletes it, or none when that was said already.</returns>
    public IReadOnlyList<OutgoingMessage> ClearAlert(string id) => Alert(id, []);

    private List<OutgoingMessage> Alert(string id, byte[] payload)
    {
        var changed = new List<OutgoingMessage>();
        Say($"{_root}/$alert/{HomieText.Id(id, "trouble")}", payload, changed);
        return changed;
    }

    private void Say(string topic, byte[] payload, List<OutgoingMessage> changed)
    {
        if (_said.TryGetValue(topic, out var before) && before.AsSpan().SequenceEqual(payload)) return;
        _said[topic] = payload;
        changed.Add(new OutgoingMessage(topic, payload));
    }

    private static IEnumerable<HomieNode> Nodes(IReadOnlyList<Site> sites)
    {
        // Two ids joined by a hyphen may meet a third one; the later of them takes a number.
        var taken = new HashSet<string>(StringComparer.Ordinal);
        string Free(string text)
        {
            var id = HomieText.Id(text, "site");
            for (var number = 2; !taken.Add(id); number++) id = $"{HomieText.Id(text, "site")}-{number}";
            return id;
        }

        foreach (var site in sites)
        {
            yield return HomieNode.Weather(Free(site.Id), site);
            foreach (var planting in site.Plantings) yield return HomieNode.Of(Free($"{site.Id}-{planting.Id}"), site, planting);
        }
    }

    private byte[] Description()
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer, Plain))
        {
            json.WriteStartObject();
            json.WriteString("homie", "5.0");
            json.WriteNumber("version", _version);
            json.WriteString("name", "Backyard Sentinel");
            json.WriteStartObject("nodes");
            foreach (var node in _nodes)
            {
                json.WriteStartObject(node.Id);
                json.WriteString("name", node.Name);
                json.WriteStartObject("properties");
                foreach (var property in node.Properties) Describe(json, property);
                json.WriteEndObject();
                json.WriteEndObject();
            }

            json.WriteEndObject();
            json.WriteEndObject();
        }

        return buffer.ToArray();
    }

    private static void Describe(Utf8JsonWriter json, HomieProperty property)
    {
        json.WriteStartObject(property.Id);
        json.WriteString("name", property.Name);
        json.WriteString("datatype", property.DataType);
        if (property.Format is { } format) json.WriteString("format", format);
        if (property.Unit is { } unit) json.WriteString("unit", unit);
        json.WriteEndObject();
    }

    private static byte[] Bytes(string text) => Encoding.UTF8.GetBytes(text);
}
