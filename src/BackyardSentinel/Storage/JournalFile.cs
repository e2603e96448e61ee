using System.Text;
using System.Text.Json;

namespace BackyardSentinel.Storage;

/// <summary>
/// Reads a journal that lies beside a log: a store, the object that <c>journal list --json</c> prints, or one entry a
/// line.
/// </summary>
public static class JournalFile
{
    private const int LargestBytes = 10 * 1024 * 1024;

    /// <summary>Reads the entries that hold.</summary>
    /// <param name="path">The file.</param>
    /// <param name="site">The site of entries that name none.</param>
    /// <param name="findings">A sentence for each entry that cannot be taken.</param>
    /// <exception cref="StoreException">The file cannot be read at all.</exception>
    public static IReadOnlyList<JournalEntry> Read(string path, string site, List<string> findings)
    {
        var bytes = Load(path);
        if (bytes.AsSpan().StartsWith("SQLite format 3\0"u8))
        {
            using var book = JournalBook.Open(path);
            return JournalRow.Standing(book.Rows());
        }

        var text = Encoding.UTF8.GetString(bytes).TrimStart('\uFEFF');
        List<JournalEntry> entries = [];
        if (TryParse(text, out var whole) && whole!.RootElement is { ValueKind: JsonValueKind.Object } root && root.TryGetProperty("entries", out var list) && list.ValueKind == JsonValueKind.Array)
        {
            using (whole)
            {
                foreach (var one in list.EnumerateArray())
                    Take(one, $"{path}, entry {entries.Count + findings.Count + 1}", path, site, entries, findings);
            }
        }
        else
        {
            whole?.Dispose();
            ReadLines(text, path, site, entries, findings);
        }

        return [.. entries.OrderBy(entry => entry.On).ThenBy(entry => entry.Number)];
    }

    private static void ReadLines(string text, string path, string site, List<JournalEntry> entries, List<string> findings)
    {
        var number = 0;
        foreach (var line in text.Split('\n'))
        {
            number++;
            if (string.IsNullOrWhiteSpace(line))
                continue;
            if (!TryParse(line, out var json))
            {
                findings.Add($"{path}, line {number}: this is no JSON object; it is left out. An entry looks like {{\"on\":\"2027-02-12\",\"planting\":\"white-peach\",\"kind\":\"stage\",\"code\":1}}.");
                continue;
            }

            using (json)
                Take(json!.RootElement, $"{path}, line {number}", path, site, entries, findings);
        }
    }

    private static void Take(JsonElement json, string place, string path, string site, List<JournalEntry> entries, List<string> findings)
    {
        if (JournalJson.Read(json, entries.Count + 1, site, out var reason) is { } entry)
            entries.Add(entry);
        else
            findings.Add($"{place}: {reason} The entry is left out.");
    }

    private static bool TryParse(string text, out JsonDocument? json)
    {
        try
        {
            json = JsonDocument.Parse(text);
            return true;
        }
        catch (JsonException)
        {
            json = null;
            return false;
        }
    }

    private static byte[] Load(string path)
    {
        try
        {
            if (Directory.Exists(path))
                throw new StoreException($"{path} is a folder; --journal names a file.");
            if (new FileInfo(path) is { Exists: true, Length: > LargestBytes } large)
            {
                using var start = large.OpenRead();
                var head = new byte[16];
                start.ReadExactly(head);
                return head.AsSpan().StartsWith("SQLite format 3\0"u8) ? head : throw new StoreException($"{path} is larger than 10 MB; a journal is smaller. Is it the right file?");
            }

            return File.ReadAllBytes(path);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new StoreException($"The journal {path} cannot be read: {failure.Message.TrimEnd('.')}.", failure);
        }
    }
}
