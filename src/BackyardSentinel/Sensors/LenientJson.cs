using System.Text;
using System.Text.Json;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>Looks at JSON bytes before or after the parser does.</summary>
internal static class LenientJson
{
    private static readonly string[] BareWords = ["-Infinity", "Infinity", "-inf", "-nan", "NaN", "nan", "NAN", "inf", "None"];

    /// <summary>Nesting is deeper than <paramref name="limit"/>; told without parsing.</summary>
    public static bool IsDeeperThan(ReadOnlySpan<byte> json, int limit)
    {
        var depth = 0;
        for (var at = 0; at < json.Length; at++)
        {
            switch (json[at])
            {
                case (byte)'"':
                    at = EndOfString(json, at);
                    break;
                case (byte)'{' or (byte)'[':
                    if (++depth > limit) return true;
                    break;
                case (byte)'}' or (byte)']':
                    depth--;
                    break;
            }
        }

        return false;
    }

    /// <summary>Parses, or says in a sentence part why not.</summary>
    public static JsonDocument? TryParse(ReadOnlyMemory<byte> json, int maxDepth, out Sentence? problem)
    {
        problem = null;
        try
        {
            return JsonDocument.Parse(json, new JsonDocumentOptions { MaxDepth = maxDepth, AllowDuplicateProperties = false });
        }
        catch (InvalidOperationException)
        {
            problem = $"the JSON holds text that is not valid Unicode";
            return null;
        }
        catch (JsonException broken)
        {
            problem = broken.Message.Contains("uplicate", StringComparison.Ordinal)
                ? (Sentence)$"a key stands twice in one object, so which value counts is not known"
                : $"not JSON from byte {broken.BytePositionInLine ?? 0} of line {(broken.LineNumber ?? 0) + 1} on";
            return null;
        }
    }

    /// <summary>
    /// Replaces bare words like <c>nan</c> by <c>null</c>: one of them would otherwise cost every good value beside it.
    /// Answers <c>null</c> when there is none.
    /// </summary>
    public static byte[]? NullBareWords(ReadOnlySpan<byte> json)
    {
        List<byte>? repaired = null;
        var copied = 0;
        for (var at = 0; at < json.Length; at++)
        {
            if (json[at] == '"')
            {
                at = EndOfString(json, at);
                continue;
            }

            var length = LengthOfBareWord(json, at);
            if (length == 0) continue;
            repaired ??= new List<byte>(json.Length + 16);
            repaired.AddRange(json[copied..at]);
            repaired.AddRange("null"u8);
            copied = at + length;
            at = copied - 1;
        }

        repaired?.AddRange(json[copied..]);
        return repaired?.ToArray();
    }

    private static int EndOfString(ReadOnlySpan<byte> json, int quote)
    {
        for (var at = quote + 1; at < json.Length; at++)
        {
            if (json[at] == '\\') at++;
            else if (json[at] == '"') return at;
        }

        return json.Length;
    }

    private static int LengthOfBareWord(ReadOnlySpan<byte> json, int at)
    {
        if (at > 0 && !IsEdge(json[at - 1])) return 0;
        foreach (var word in BareWords)
        {
            var end = at + word.Length;
            if (end <= json.Length && Ascii.Equals(json[at..end], word) && (end == json.Length || IsEdge(json[end]))) return word.Length;
        }

        return 0;
    }

    private static bool IsEdge(byte b) =>
        b is (byte)' ' or (byte)'\t' or (byte)'\r' or (byte)'\n' or (byte)':' or (byte)',' or (byte)'[' or (byte)']' or (byte)'}';
}
