using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json;

namespace BackyardSentinel.Sensors;

/// <summary>A path into a JSON payload: <c>a.b</c>, <c>a[0]</c>, <c>["air temp"]</c>, and mixtures of them.</summary>
public sealed class JsonPath
{
    private readonly List<(string? Key, int Index)> _steps;

    private JsonPath(string text, List<(string? Key, int Index)> steps) => (Text, _steps) = (text, steps);

    /// <summary>The path as written.</summary>
    public string Text { get; }

    /// <summary>Reads a path that is known to be one; <see cref="ArgumentException"/> with the reason otherwise.</summary>
    /// <param name="text">The path as written.</param>
    public static JsonPath Parse(string text) =>
        TryParse(text, out var path, out var reason) ? path : throw new ArgumentException(reason, nameof(text));

    /// <summary>Reads a path; says what is wrong with it if it is none.</summary>
    /// <param name="text">The path as written.</param>
    /// <param name="path">The path.</param>
    /// <param name="reason">What is wrong.</param>
    public static bool TryParse(string text, [NotNullWhen(true)] out JsonPath? path, [NotNullWhen(false)] out string? reason)
    {
        path = null;
        List<(string? Key, int Index)> steps = [];
        var at = 0;
        while (at < text.Length)
        {
            if (text[at] == '[')
            {
                var quoted = at + 1 < text.Length && text[at + 1] == '"';
                var end = text.IndexOf(quoted ? "\"]" : "]", at + (quoted ? 2 : 1), StringComparison.Ordinal);
                if (end < 0) return Fail($"the bracket at column {at + 1} of path {text} is not closed", out reason);
                var inside = text[(at + (quoted ? 2 : 1))..end];
                if (quoted) steps.Add((inside, 0));
                else if (int.TryParse(inside, NumberStyles.None, CultureInfo.InvariantCulture, out var index)) steps.Add((null, index));
                else return Fail($"[{inside}] in path {text} is neither a place (0, 1, …) nor a name in double quotes", out reason);
                at = end + (quoted ? 2 : 1);
            }
            else
            {
                if (text[at] == '.' && steps.Count > 0) at++;
                var end = text.AsSpan(at).IndexOfAny('.', '[') is >= 0 and var length ? at + length : text.Length;
                if (end == at) return Fail($"a name is missing at column {at + 1} of path {text}", out reason);
                steps.Add((text[at..end], 0));
                at = end;
            }
        }

        if (steps.Count == 0 || text[^1] == '.') return Fail($"path \"{text}\" is empty or ends with a point", out reason);
        path = new JsonPath(text, steps);
        reason = null;
        return true;
    }

    /// <summary>Follows the path from <paramref name="root"/>; <c>null</c> when it leads nowhere.</summary>
    /// <param name="root">Where to start.</param>
    public JsonElement? Find(JsonElement root)
    {
        var here = root;
        foreach (var (key, index) in _steps)
        {
            if (key is not null)
            {
                if (here.ValueKind != JsonValueKind.Object || !here.TryGetProperty(key, out here)) return null;
            }
            else
            {
                if (here.ValueKind != JsonValueKind.Array || index >= here.GetArrayLength()) return null;
                here = here[index];
            }
        }

        return here;
    }

    private static bool Fail(string why, out string reason)
    {
        reason = why;
        return false;
    }
}
