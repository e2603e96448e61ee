using System.Text.Json;
using System.Text.RegularExpressions;

namespace BackyardSentinel.Homie;

/// <summary>
/// Reads the messages of one device in their order and notes every breach of the Homie convention 5 (sections "Topic IDs",
/// "Payloads", "Device Attributes", "Device Lifecycle", "Formats", "Alert topic"). Written from the convention, without
/// the program's own code. A property's topic without a payload is a deletion: the device has no value to give.
/// </summary>
internal sealed partial class HomieValidator(string domain, string device)
{
    private static readonly string[] States = ["init", "ready", "disconnected", "sleeping", "lost"];
    private static readonly string[] DataTypes = ["integer", "float", "boolean", "string", "enum", "color", "datetime", "duration", "json"];
    private readonly HashSet<string> _mentioned = [];
    private Dictionary<string, (string DataType, string? Format)> _properties = [];
    private string? _state, _description;
    private long _version;

    public List<string> Faults { get; } = [];

    public void Take(string topic, ReadOnlySpan<byte> payload, bool retained)
    {
        string text;
        try
        {
            text = new UTF8Encoding(false, true).GetString(payload);
        }
        catch (ArgumentException)
        {
            Faults.Add($"{topic}: not UTF-8");
            return;
        }

        if (text.StartsWith('\uFEFF')) Faults.Add($"{topic}: byte order mark");
        if (!retained) Faults.Add($"{topic}: not retained");
        var parts = topic.Split('/');
        if (parts.Length is < 4 or > 5 || parts[0] != domain || parts[1] != "5" || parts[2] != device || !Id().IsMatch(parts[2]))
            Faults.Add($"{topic}: not a topic of the device");
        else if (parts.Length == 4 && parts[3] == "$state")
            State(text);
        else if (parts.Length == 4 && parts[3] == "$description")
            Description(text);
        else if (parts.Length == 5 && parts[3] == "$alert")
            Check(Id().IsMatch(parts[4]), $"{topic}: alert id");
        else if (parts.Length == 5)
            Property($"{parts[3]}/{parts[4]}", text);
        else
            Faults.Add($"{topic}: unknown attribute");
    }

    private void State(string text)
    {
        Check(States.Contains(text), $"state '{text}'");
        if (text == "ready")
        {
            Check(_description is not null, "ready without a description");
            foreach (var missing in _properties.Keys.Where(key => !_mentioned.Contains(key))) Faults.Add($"ready before {missing}");
        }

        if (text == "disconnected") Check(_state is "ready" or "init", "disconnected without having been there");
        _state = text;
    }

    private void Description(string text)
    {
        if (text == _description) return;
        Check(_state is "init" or "disconnected" or "lost", $"description changed while '{_state}'");
        JsonElement root;
        try
        {
            root = JsonDocument.Parse(text).RootElement;
        }
        catch (JsonException)
        {
            Faults.Add("description: not JSON");
            return;
        }

        Check(Text(root, "homie") is { } homie && Version5().IsMatch(homie), "description: homie");
        var version =
            root.TryGetProperty("version", out var number) && number.ValueKind == JsonValueKind.Number && number.TryGetInt64(out var whole)
                ? whole
                : (long?)null;
        Check(version is not null, "description: version");
        Check(_description is null || version > _version, "description: changed, version not higher");
        Check(!root.TryGetProperty("root", out _) && !root.TryGetProperty("parent", out _), "description: a root device has no parent");
        (_description, _version) = (text, version ?? 0);
        _properties = [];
        foreach (var node in Objects(root, "nodes"))
        {
            Check(Id().IsMatch(node.Name), $"node id '{node.Name}'");
            foreach (var property in Objects(node.Value, "properties")) Describe(node.Name, property.Name, property.Value);
        }
    }

    private void Describe(string node, string id, JsonElement property)
    {
        var key = $"{node}/{id}";
        Check(Id().IsMatch(id), $"property id '{id}'");
        var (dataType, format) = (Text(property, "datatype") ?? "", Text(property, "format"));
        Check(DataTypes.Contains(dataType), $"{key}: data type '{dataType}'");
        foreach (var flag in (string[])["settable", "retained"])
            Check(
                !property.TryGetProperty(flag, out var value) || value.ValueKind is JsonValueKind.True or JsonValueKind.False,
                $"{key}: {flag}");
        foreach (var name in (string[])["name", "unit", "format"])
            Check(!property.TryGetProperty(name, out var value) || value.ValueKind == JsonValueKind.String, $"{key}: {name}");
        if (dataType == "enum")
        {
            var words = (format ?? "").Split(',');
            Check(words.All(word => word.Length > 0) && words.Distinct().Count() == words.Length, $"{key}: words of the enum '{format}'");
        }
        else if (dataType is "float" or "integer" && format is not null)
        {
            var limits = format.Split(':');
            Check(
                limits.Length is 2 or 3 && limits.All(limit => limit.Length == 0 || Number(dataType).IsMatch(limit)),
                $"{key}: format '{format}'");
        }

        _properties[key] = (dataType, format);
    }

    private void Property(string key, string text)
    {
        _mentioned.Add(key);
        if (text.Length == 0) return;
        if (!_properties.TryGetValue(key, out var known))
        {
            Faults.Add($"{key}: not described");
            return;
        }

        Check(IsLegal(known.DataType, known.Format, text), $"{key}: '{text}' is no {known.DataType} of '{known.Format}'");
    }

    public static bool IsLegal(string dataType, string? format, string text) =>
        dataType switch
        {
            "string" => true,
            "boolean" => text is "true" or "false",
            "enum" => (format ?? "").Split(',').Contains(text),
            "datetime" => Iso().IsMatch(text) && DateTimeOffset.TryParse(text, CultureInfo.InvariantCulture, out _),
            "duration" => text.Length > 2 && Duration().IsMatch(text),
            "float" or "integer" => Number(dataType).IsMatch(text)
                && IsWithin(format ?? ":", decimal.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture)),
            _ => false,
        };

    /// <summary>A value under a format that is wrong itself is no legal value.</summary>
    private static bool IsWithin(string format, decimal value)
    {
        var limits = format.Split(':');
        return limits.Length >= 2
            && (
                limits[0].Length == 0
                || (decimal.TryParse(limits[0], NumberStyles.Float, CultureInfo.InvariantCulture, out var least) && value >= least))
            && (
                limits[1].Length == 0
                || (decimal.TryParse(limits[1], NumberStyles.Float, CultureInfo.InvariantCulture, out var most) && value <= most));
    }

    private static JsonElement.ObjectEnumerator Objects(JsonElement of, string name) =>
        of.TryGetProperty(name, out var found) ? found.EnumerateObject() : default;

    private static string? Text(JsonElement of, string name) =>
        of.TryGetProperty(name, out var found) && found.ValueKind == JsonValueKind.String ? found.GetString() : null;

    private static Regex Number(string dataType) => dataType == "float" ? Float() : Integer();

    private void Check(bool holds, string fault)
    {
        if (!holds) Faults.Add(fault);
    }

    [GeneratedRegex(@"\A[a-z0-9-]+\z")]
    private static partial Regex Id();

    [GeneratedRegex(@"\A5\.[0-9]+\z")]
    private static partial Regex Version5();

    [GeneratedRegex(@"\A-?[0-9]+(\.[0-9]+)?([eE]-?[0-9]+)?\z")]
    private static partial Regex Float();

    [GeneratedRegex(@"\A-?[0-9]+\z")]
    private static partial Regex Integer();

    [GeneratedRegex(@"\A\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)\z")]
    private static partial Regex Iso();

    [GeneratedRegex(@"\APT([0-9]+H)?([0-9]+M)?([0-9]+S)?\z")]
    private static partial Regex Duration();
}
