using System.Text.Json;

namespace BackyardSentinel.Sensors;

/// <summary>What can be read from a SenML pack (RFC 8428).</summary>
internal static class SenmlSight
{
    private static readonly string[] Labels = ["bn", "bt", "bu", "bv", "bs", "bver", "n", "u", "v", "vs", "vb", "vd", "s", "t", "ut"];

    /// <summary>Its values; <c>null</c>: it is none.</summary>
    /// <param name="root">The JSON's root.</param>
    /// <param name="at">When it came.</param>
    public static List<SeenValue>? Of(JsonElement root, DateTimeOffset at)
    {
        if (root.ValueKind != JsonValueKind.Array || root.GetArrayLength() == 0 || !root.EnumerateArray().All(IsRecord))
            return null;
        var (records, fault) = SenmlPack.Read(root, at, MessageBody.MostPoints);
        if (fault is not null)
            return [];
        return
        [
            .. records
                .Where(record => record.Name.Length > 0)
                .GroupBy(record => record.Name)
                .Select(group => Value(group.Key, [.. group]))
                .OfType<SeenValue>(),
        ];
    }

    private static SeenValue? Value(string name, List<SenmlRecord> records)
    {
        var words = records.Select(record => record.Word is { } word ? SeenValue.Bare(System.Text.Encoding.UTF8.GetBytes(word)) : null)
            .OfType<SeenValue>()
            .ToList();
        List<double> numbers = [.. records.Select(record => record.Value ?? record.Sum).OfType<double>()];
        if (numbers.Count == 0 && words.Count == 0)
            return null;
        return new SeenValue
        {
            Shape = MessageShape.Senml,
            Path = name,
            // The name is a path of a device with what it measures at its end.
            Names = [.. name.Split('/', ':').Reverse().Where(part => part.Length > 0)],
            Numbers = numbers.Count > 0 ? numbers : [.. words.SelectMany(word => word.Numbers)],
            IsWord = numbers.Count == 0 && words.TrueForAll(word => word.IsWord),
            UnitText = records.Find(record => record.Unit.Length > 0).Unit is { Length: > 0 } unit ? unit : null,
            UnitIsBehind = records.Exists(record => record.Unit.Length > 0),
        };
    }

    /// <summary>All its labels are SenML's, and one of them is a name.</summary>
    private static bool IsRecord(JsonElement record) =>
        record.ValueKind == JsonValueKind.Object
        && record.EnumerateObject().Any()
        && record.EnumerateObject().All(label => Labels.Contains(label.Name) || label.Name.EndsWith('_'))
        && (record.TryGetProperty("n", out _) || record.TryGetProperty("bn", out _))
        && (!record.TryGetProperty("n", out var name) || name.ValueKind == JsonValueKind.String);
}
