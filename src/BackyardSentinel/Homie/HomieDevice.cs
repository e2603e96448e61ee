using System.Security.Cryptography;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using BackyardSentinel.Garden;
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

    /// <summary>Equal to nothing that is said.</summary>
    private static readonly byte[] OfAnotherRun = [0xFF];

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
        Id = DeviceId(clientId);
        _root = $"{Domain}/5/{Id}";
        _version = startedAt.ToUnixTimeSeconds();
        _nodes = [.. Nodes(sites)];
    }

    /// <summary>The device's id: a–z, 0–9, hyphen.</summary>
    public string Id { get; }

    /// <summary>Every topic under which troubles stand.</summary>
    public string AlertFilter => AlertRoot + "+";

    private string AlertRoot => $"{_root}/$alert/";

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

    /// <summary>
    /// The troubles that stand now: each is shown until a later call leaves it out. Those found at the broker from an
    /// earlier run (<see cref="Found"/>) go the same way.
    /// </summary>
    /// <param name="standing">What each is about, always the same for the same trouble, and one sentence.</param>
    /// <returns>The messages that change something.</returns>
    public IReadOnlyList<OutgoingMessage> Troubles(IEnumerable<(string About, string Sentence)> standing)
    {
        ArgumentNullException.ThrowIfNull(standing);
        var changed = new List<OutgoingMessage>();
        var now = standing
            .GroupBy(one => AlertRoot + HomieText.Id(one.About, "trouble"), one => one.Sentence)
            .ToDictionary(one => one.Key, one => Bytes(string.Join(' ', one)), StringComparer.Ordinal);
        foreach (var (topic, sentence) in now)
            Say(topic, sentence, changed);
        foreach (
            var topic in _said
                .Keys.Where(topic => topic.StartsWith(AlertRoot, StringComparison.Ordinal) && !now.ContainsKey(topic))
                .ToList())
            Say(topic, [], changed);
        return changed;
    }

    /// <summary>
    /// The broker keeps a trouble that this run has not shown: the next <see cref="Troubles"/> says it anew or deletes it.
    /// </summary>
    /// <param name="topic">Its topic; others are left alone.</param>
    public void Found(string topic)
    {
        ArgumentNullException.ThrowIfNull(topic);
        if (topic.StartsWith(AlertRoot, StringComparison.Ordinal)) _said.TryAdd(topic, OfAnotherRun);
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

    /// <summary>A client id that is no Homie id as it stands gets digits of its own: two client ids never make one device.</summary>
    private static string DeviceId(string clientId)
    {
        var id = HomieText.Id(clientId, "sentinel");
        return id == clientId ? id : $"{id}-{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(clientId)))[..6]}";
    }

    private static byte[] Bytes(string text) => Encoding.UTF8.GetBytes(text);
}
