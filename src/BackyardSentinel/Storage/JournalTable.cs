using System.Text.Json;
using nietras.SeparatedValues;

namespace BackyardSentinel.Storage;

/// <summary>Journal entries as rows and columns: the fields of every kind side by side, those of other kinds empty.</summary>
public static class JournalTable
{
    private static readonly HashSet<string> Numbers = ["number", "code", "volume_l", "dose_per_l", "shoots", "curled", "fallen_pct"];

    /// <summary>The columns, named as the fields of an entry.</summary>
    public static IReadOnlyList<string> Columns { get; } =
    [
        "number", "on", "site", "planting", "kind", "code", "product", "volume_l", "dose_per_l", "at", "shoots", "curled", "symptom",
        "fallen_pct", "shelter", "note",
    ];

    /// <summary>A text begins as such a table does.</summary>
    internal static bool IsOne(string text)
    {
        var header = text.AsSpan(0, Math.Max(0, text.IndexOf('\n', StringComparison.Ordinal))).ToString().Trim().Split(',', ';', '\t');
        var heads = header.Select(head => head.Trim('"', ' ')).ToList();
        return heads.Contains("on") && heads.Contains("planting") && heads.Contains("kind");
    }

    /// <summary>Each row as the JSON object of an entry, with its line.</summary>
    /// <exception cref="StoreException">The rows cannot be told apart.</exception>
    internal static IEnumerable<(string Json, long Line)> Rows(string path, string text)
    {
        using var reader = Sep.Reader(o => o with { HasHeader = false, Unescape = true, DisableColCountCheck = true }).FromText(text);
        List<string>? header = null;
        while (Next(reader, path))
        {
            var row = reader.Current;
            List<string> fields = [];
            for (var i = 0; i < row.ColCount; i++)
                fields.Add(row[i].ToString().Trim());
            if (header is null)
                header = fields;
            else if (fields.Exists(field => field.Length > 0))
                yield return (Entry(header, fields), row.LineNumberFrom);
        }
    }

    private static string Entry(List<string> header, List<string> fields)
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            foreach (var (name, field) in header.Zip(fields).DistinctBy(pair => pair.First).Where(pair => pair.Second.Length > 0))
            {
                json.WritePropertyName(name);
                if (Numbers.Contains(name) && IsNumber(field))
                    json.WriteRawValue(field);
                else
                    json.WriteStringValue(field);
            }

            json.WriteEndObject();
        }

        return System.Text.Encoding.UTF8.GetString(buffer.ToArray());
    }

    /// <summary>As JSON writes numbers.</summary>
    private static bool IsNumber(string field)
    {
        try
        {
            using var json = JsonDocument.Parse(field);
            return json.RootElement.ValueKind == JsonValueKind.Number;
        }
        catch (JsonException)
        {
            return false;
        }
    }

    private static bool Next(SepReader reader, string path)
    {
        try
        {
            return reader.MoveNext();
        }
        catch (Exception e) when (e is InvalidDataException or NotSupportedException or ArgumentException)
        {
            throw new StoreException($"{path}: its rows cannot be told apart; a quote that is never closed does this.", e);
        }
    }
}
