using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;
using System.Text.Json;

namespace BackyardSentinel.Sensors;

/// <summary>
/// A path into a JSON payload: <c>a.b</c>, <c>a[0]</c>, <c>["air temp"]</c>, <c>a[name=inside]</c> for the entry of a list whose
/// <c>name</c> is <c>inside</c>, and, once, <c>a[*]</c> for each entry of a list.
/// </summary>
public sealed class JsonPath
{
    private readonly List<Step> _steps;
    private readonly int _each;

    private JsonPath(string text, List<Step> steps) => (Text, _steps, _each) = (text, steps, steps.FindIndex(step => step.IsEach));

    /// <summary>A key; a key and what its value must say; a place in a list; or each place.</summary>
    private readonly record struct Step(byte[]? Key, string? Says, int Index, bool IsEach)
    {
        public static Step Of(string key, string? says = null) => new(Encoding.UTF8.GetBytes(key), says, 0, false);
    }

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
        List<Step> steps = [];
        var at = 0;
        while (at < text.Length)
        {
            if (text[at] == '[')
            {
                var quoted = at + 1 < text.Length && text[at + 1] == '"';
                var end = text.IndexOf(quoted ? "\"]" : "]", at + (quoted ? 2 : 1), StringComparison.Ordinal);
                if (end < 0)
                    return Fail($"the bracket at column {at + 1} of path {text} is not closed", out reason);
                var inside = text[(at + (quoted ? 2 : 1))..end];
                if (quoted)
                    steps.Add(Step.Of(inside));
                else if (int.TryParse(inside, NumberStyles.None, CultureInfo.InvariantCulture, out var index))
                    steps.Add(new Step(null, null, index, false));
                else if (inside == "*" && !steps.Exists(step => step.IsEach))
                    steps.Add(new Step(null, null, 0, true));
                else if (inside.IndexOf('=', StringComparison.Ordinal) is > 0 and var equals)
                    steps.Add(Step.Of(inside[..equals], inside[(equals + 1)..]));
                else
                    return Fail(
                        $"[{inside}] in path {text} is neither a place (0, 1, …), nor one * for each, "
                            + "nor name=value, nor a name in double quotes",
                        out reason);
                at = end + (quoted ? 2 : 1);
            }
            else
            {
                if (text[at] == '.' && steps.Count > 0)
                    at++;
                var end = text.AsSpan(at).IndexOfAny('.', '[') is >= 0 and var length ? at + length : text.Length;
                if (end == at)
                    return Fail($"a name is missing at column {at + 1} of path {text}", out reason);
                steps.Add(Step.Of(text[at..end]));
                at = end;
            }
        }

        if (steps.Count == 0)
            return Fail($"path \"{text}\" is empty", out reason);
        path = new JsonPath(text, steps);
        reason = null;
        return true;
    }

    /// <summary>The path stands for each entry of a list.</summary>
    public bool HasEach => _each >= 0;

    /// <summary>Follows the path from <paramref name="root"/>; <c>null</c> when it leads nowhere, or to many.</summary>
    /// <param name="root">Where to start.</param>
    public JsonElement? Find(JsonElement root) => Follow(root, 0, _steps.Count);

    /// <summary>The list whose entries the path stands for; <c>null</c> when there is none.</summary>
    /// <param name="root">Where to start.</param>
    public JsonElement? FindList(JsonElement root) =>
        HasEach && Follow(root, 0, _each) is { ValueKind: JsonValueKind.Array } list ? list : null;

    /// <summary>Follows the path on from one entry of that list.</summary>
    /// <param name="entry">The entry.</param>
    public JsonElement? FindWithin(JsonElement entry) => Follow(entry, _each + 1, _steps.Count);

    /// <summary>The object is there whose key the path ends with, whether or not it has that key.</summary>
    /// <param name="from">Where to start: the root, or an entry of the list.</param>
    public bool HasHolder(JsonElement from) =>
        _steps[^1] is { Key: not null, Says: null } && Follow(from, _each + 1, _steps.Count - 1) is { ValueKind: JsonValueKind.Object };

    /// <summary>The object that holds what the path ends with; <c>null</c> when it is in no object.</summary>
    /// <param name="from">Where to start: the root, or an entry of the list.</param>
    internal JsonElement? Holder(JsonElement from) => HasHolder(from) ? Follow(from, _each + 1, _steps.Count - 1) : null;

    private JsonElement? Follow(JsonElement here, int from, int to)
    {
        for (var at = from; at < to; at++)
        {
            var step = _steps[at];
            if (step.IsEach)
                return null;
            if (step.Says is not null)
            {
                if (EntryThatSays(here, step) is not { } entry)
                    return null;
                here = entry;
            }
            else if (step.Key is not null)
            {
                if (here.ValueKind != JsonValueKind.Object || !here.TryGetProperty(step.Key, out here))
                    return null;
            }
            else
            {
                if (here.ValueKind != JsonValueKind.Array || step.Index >= here.GetArrayLength())
                    return null;
                here = here[step.Index];
            }
        }

        return here;
    }

    private static JsonElement? EntryThatSays(JsonElement list, in Step step)
    {
        if (list.ValueKind != JsonValueKind.Array)
            return null;
        foreach (var entry in list.EnumerateArray())
        {
            if (
                entry.ValueKind == JsonValueKind.Object
                && entry.TryGetProperty(step.Key!, out var value)
                && (value.ValueKind == JsonValueKind.String ? value.ValueEquals(step.Says) : value.GetRawText() == step.Says))
                return entry;
        }

        return null;
    }

    private static bool Fail(string why, out string reason)
    {
        reason = why;
        return false;
    }
}
