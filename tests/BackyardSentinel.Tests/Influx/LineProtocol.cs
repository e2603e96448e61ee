namespace BackyardSentinel.Influx;

/// <summary>
/// Reads the line protocol by its published rules (InfluxDB 2 documentation, "Line protocol": escapes of commas, spaces, equals
/// signs; quotes and backslashes in text; whole numbers with i), independently of the client library.
/// </summary>
internal static class LineProtocol
{
    /// <summary>The point that a line is known by, and its fields; throws where it is no line.</summary>
    public static (
        string Point, Dictionary<string, object> Fields, string Measurement, Dictionary<string, string> Tags, long Time) Read(string line)
    {
        var at = 0;
        var head = Until(line, ref at, ' ');
        var fields = new Dictionary<string, object>(StringComparer.Ordinal);
        do
        {
            at++;
            var key = Until(line, ref at, '=');
            at++;
            fields.Add(Plain(key), line[at] == '"' ? Text(line, ref at) : Value(Until(line, ref at, ',', ' ')));
        }
        while (at < line.Length && line[at] == ',');
        var time = long.Parse(line[(at + 1)..], CultureInfo.InvariantCulture);
        var names = Split(head, ',');
        var tags = names.Skip(1)
            .Select(tag => Split(tag, '='))
            .ToDictionary(pair => Plain(pair[0]), pair => Plain(pair[1]), StringComparer.Ordinal);
        var point = string.Join(
            '|',
            [
                Plain(names[0]),
                .. tags.OrderBy(tag => tag.Key, StringComparer.Ordinal).Select(tag => $"{tag.Key}={tag.Value}"),
                time.ToString(CultureInfo.InvariantCulture),
            ]);
        return (point, fields, Plain(names[0]), tags, time);
    }

    private static object Value(string text) => text switch
    {
        "true" or "t" => true,
        "false" or "f" => false,
        _ when text.EndsWith('i') => long.Parse(text[..^1], CultureInfo.InvariantCulture),
        _ => double.Parse(text, CultureInfo.InvariantCulture),
    };

    private static string Text(string line, ref int at)
    {
        var text = new StringBuilder();
        for (at++; line[at] != '"'; at++)
        {
            if (line[at] == '\\' && line[at + 1] is '"' or '\\')
                at++;
            text.Append(line[at]);
        }

        at++;
        return text.ToString();
    }

    private static string Until(string line, ref int at, params ReadOnlySpan<char> ends)
    {
        var start = at;
        while (at < line.Length && !ends.Contains(line[at]))
            at += line[at] == '\\' ? 2 : 1;
        return line[start..at];
    }

    private static List<string> Split(string text, char by)
    {
        List<string> parts = [];
        for (var at = 0; at <= text.Length; at++)
            parts.Add(Until(text, ref at, by));
        return parts;
    }

    private static string Plain(string text) =>
        text.Replace("\\,", ",", StringComparison.Ordinal)
            .Replace("\\=", "=", StringComparison.Ordinal)
            .Replace("\\ ", " ", StringComparison.Ordinal);
}
