using BackyardSentinel.Configuration.Keys;

namespace BackyardSentinel.Tests.Generated;

/// <summary>The tables of docs/garden-file.md: each stands below a comment that names its part of the garden file.</summary>
internal static class GardenTables
{
    public static GeneratedFile File { get; } = new("docs/garden-file.md", Make);

    private static string Make(string text)
    {
        foreach (var section in GardenKeys.Sections)
        {
            var mark = $"<!-- keys of {section.Name} -->\n";
            var start = text.IndexOf(mark, StringComparison.Ordinal);
            if (start < 0)
                throw new InvalidOperationException(
                    $"docs/garden-file.md has no line '{mark.TrimEnd()}' for the table of {section.Place}.");
            start += mark.Length;
            var end = text.IndexOf("\n\n", start - 1, StringComparison.Ordinal) + 1;
            text = string.Concat(text.AsSpan(0, start), Table(section), text.AsSpan(end));
        }

        return text;
    }

    private static string Table(GardenSection section)
    {
        StringBuilder table = new("| key | meaning | default | may be |\n|---|---|---|---|\n");
        foreach (var key in section.Keys)
        {
            var standard = key.Required ? "required" : key.Default.Length > 0 ? $"`{key.Default}`" : "none";
            table.Append(CultureInfo.InvariantCulture, $"| `{key.Name}` | {key.Meaning} | {standard} | {key.Range} |\n");
        }

        return table.ToString();
    }
}
