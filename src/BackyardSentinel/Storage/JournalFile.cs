using System.Text;
using System.Text.Json;
using BackyardSentinel.Garden;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Storage;

/// <summary>
/// Reads a journal that lies beside a log: a store, the object that <c>journal list --json</c> prints, the table that
/// <c>export journal</c> writes, or one entry a line.
/// </summary>
public static class JournalFile
{
    private const int LargestBytes = 10 * 1024 * 1024;

    /// <summary>A garden's life of entries; each is checked against the others, so that many more would take minutes.</summary>
    private const int MostEntries = 10_000;

    /// <summary>Faults listed; of a file of another kind every line has one.</summary>
    private const int MostFindings = 100;

    /// <summary>A file with so many faults is none of ours, and reading on would only take time.</summary>
    private const int MostFaults = 1_000;

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
            using var book = JournalBook.Reading(path);
            return JournalRow.Standing(book.Rows());
        }

        var text = Encoding.UTF8.GetString(bytes).TrimStart('\uFEFF');
        var taking = new Taking(path, site, findings);
        if (
            TryParse(text, out var whole)
            && whole!.RootElement is { ValueKind: JsonValueKind.Object } root
            && root.TryGetProperty("entries", out var list)
            && list.ValueKind == JsonValueKind.Array)
        {
            using (whole)
            {
                foreach (var one in list.EnumerateArray())
                    taking.Take(one, $"entry {taking.Seen + 1}");
            }
        }
        else
        {
            whole?.Dispose();
            if (JournalTable.IsOne(text))
                ReadRows(path, text, taking);
            else
                ReadLines(text, taking);
        }

        taking.SayRest();
        return [.. taking.Entries.OrderBy(entry => entry.On).ThenBy(entry => entry.Number)];
    }

    private static void ReadRows(string path, string text, Taking taking)
    {
        foreach (var (entry, line) in JournalTable.Rows(path, text))
        {
            using var json = JsonDocument.Parse(entry);
            taking.Take(json.RootElement, FormattableString.Invariant($"line {line}"));
        }
    }

    private static void ReadLines(string text, Taking taking)
    {
        var number = 0;
        foreach (var line in text.AsSpan().EnumerateLines())
        {
            number++;
            if (line.IsWhiteSpace())
                continue;
            if (!TryParse(line.ToString(), out var json))
            {
                taking.Refuse(
                    $"line {number}",
                    "this is no JSON object; it is left out. "
                        + "An entry looks like {\"on\":\"2027-02-12\",\"planting\":\"white-peach\",\"kind\":\"stage\",\"code\":1}.");
                continue;
            }

            using (json)
                taking.Take(json!.RootElement, $"line {number}");
        }
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
            if (OrdinaryFile.HasNoLength(path))
                throw new StoreException($"{path} is empty or no ordinary file; a journal has entries.");
            using var file = File.OpenRead(path);
            // One more than is taken, so that a longer file is told as such, also where its length cannot be asked.
            var bytes = new byte[LargestBytes + 1];
            bytes = bytes[..file.ReadAtLeast(bytes, bytes.Length, throwOnEndOfStream: false)];
            return bytes.Length <= LargestBytes || bytes.AsSpan().StartsWith("SQLite format 3\0"u8)
                ? bytes
                : throw new StoreException($"{path} is larger than 10 MB; a journal is smaller. Is it the right file?");
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new StoreException($"The journal {path} cannot be read: {failure.Message.TrimEnd('.')}.", failure);
        }
    }

    /// <summary>Gathers the entries; each number once, so that every entry is checked against every other.</summary>
    private sealed class Taking(string path, string site, List<string> findings)
    {
        private readonly HashSet<long> _numbers = [];
        private long _last, _unsaid;
        private int _said;

        public List<JournalEntry> Entries { get; } = [];

        public long Seen { get; private set; }

        public void Take(JsonElement json, string place)
        {
            Seen++;
            if (Entries.Count == MostEntries)
                throw new StoreException(
                    $"{path} has more than {MostEntries} entries; a garden's journal has fewer. Is it the right file?");
            if (JournalJson.Read(json, 0, site, out var reason) is not { } entry)
                Refuse(place, $"{reason} The entry is left out.");
            else if (entry.Number == 0)
                Entries.Add(entry with { Number = Next() });
            else if (_numbers.Add(entry.Number))
                Entries.Add(entry);
            else
                Refuse(
                    place,
                    System.FormattableString.Invariant(
                        $"an entry before it has the number {entry.Number} already; give it another. The entry is left out."));
        }

        public void Refuse(string place, string sentence)
        {
            if (_said++ < MostFindings)
                findings.Add(TerminalText.Plain($"{path}, {place}: {sentence}"));
            else if (++_unsaid + MostFindings > MostFaults)
                throw new StoreException(
                    $"{path} has more than {MostFaults} lines that are no entries. "
                        + $"Is it the right file? The first: {findings[^MostFindings]}");
        }

        public void SayRest()
        {
            if (_unsaid > 0)
                findings.Add(
                    System.FormattableString.Invariant($"{path}: {_unsaid} more of its entries cannot be taken. Is it the right file?"));
        }

        private long Next()
        {
            while (!_numbers.Add(++_last))
            {
                // Taken by an entry that names its number.
            }

            return _last;
        }
    }
}
