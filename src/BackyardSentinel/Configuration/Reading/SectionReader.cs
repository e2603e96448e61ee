using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>
/// Reads the keys of one part of the garden file. Every getter answers with the key's value, or with its default
/// after reporting what is wrong, so that one pass finds every error.
/// </summary>
internal sealed class SectionReader
{
    private readonly GardenSection _section;
    private readonly Dictionary<string, YamlNode> _values = new(StringComparer.Ordinal);

    public SectionReader(YamlMapping map, GardenSection section, ProblemList problems)
    {
        (Map, _section, Problems) = (map, section, problems);
        foreach (var entry in map.Entries)
        {
            if (section.Keys.Any(k => k.Name == entry.Key.Value))
                _values.Add(entry.Key.Value, entry.Value);
            else if (entry.Value is not YamlRefused)
                ReportUnknown(entry.Key);
        }

        // A misspelt required key is reported once, as misspelt.
        foreach (var key in section.Keys.Where(k => k.Required && !_values.ContainsKey(k.Name)))
        {
            if (!IsMisspelt(key.Name))
                problems.Error(map, $"{section.Place} needs the key '{new Name(key.Name)}', which is missing here", key.Range);
        }
    }

    public YamlMapping Map { get; }

    /// <summary>Where what is wrong is told.</summary>
    public ProblemList Problems { get; }

    /// <summary>The key of this name in the table.</summary>
    public GardenKey Key(string name) => _section[name];

    /// <summary>The key's value as it stands in the file, or <c>null</c> when the key is left out.</summary>
    public YamlNode? Node(string name) => _values.GetValueOrDefault(name);

    public bool Has(string name) => _values.ContainsKey(name);

    /// <summary>A key that is none stands there and is nearest to this one; it is told already.</summary>
    public bool IsMisspelt(string name) => Map.Entries.Any(e => NearestWord.Find(e.Key.Value, _section.Keys.Select(k => k.Name)) == name);

    /// <summary>What may stand under the key, as it follows the word "expected".</summary>
    public Sentence Range(string name) => _section[name].Range;

    /// <summary>The value's place, or the part's when the key is left out.</summary>
    public YamlNode Place(string name) => Node(name) ?? Map;

    /// <summary>A line of text, its default, or <c>null</c>.</summary>
    public string? Text(string name)
    {
        var longest = ((TextForm)_section[name].Form).Longest;
        if (Scalar(name) is not { } scalar)
            return DefaultText(name);
        if (string.IsNullOrWhiteSpace(scalar.Value) || scalar.Value.Length > longest || scalar.Value.Any(char.IsControl))
        {
            Problems.Error(scalar, $"'{new Name(name)}' is empty, too long or holds a control character", _section[name].Range);
            return DefaultText(name);
        }

        return scalar.Value;
    }

    public bool Flag(string name)
    {
        var standard = _section[name].Default == "true";
        if (Scalar(name) is not { } scalar)
            return standard;
        if (!scalar.Quoted && scalar.Value is "true" or "false")
            return scalar.Value == "true";
        var meant = scalar.Value.Trim().ToLowerInvariant() switch
        {
            "true" or "yes" or "on" or "y" or "1" => "true",
            "false" or "no" or "off" or "n" or "0" => "false",
            _ => null,
        };
        Problems.Error(
            scalar,
            scalar.Quoted && scalar.Value is "true" or "false"
                ? (Sentence)$"'{new Name(name)}' is switched by true or false; {ProblemList.Quote(scalar.Value)} in quotes is text"
                : $"'{new Name(name)}' is switched by true or false; {ProblemList.Quote(scalar.Value)} is neither",
            $"true or false, without quotes",
            meant);
        return standard;
    }

    /// <summary>One of the key's words, or <c>null</c> when it is left out without default or wrong.</summary>
    public string? Word(string name)
    {
        var key = _section[name];
        if (Scalar(name) is not { } scalar)
            return DefaultText(name);
        if (key.Words.Contains(scalar.Value))
            return scalar.Value;
        Problems.Error(
            scalar, $"'{new Name(name)}' cannot be {ProblemList.Quote(scalar.Value)}", key.Range, Nearest(scalar.Value, key.Words));
        return key.Required ? null : DefaultText(name);
    }

    /// <summary>One of a closed set, by its word; <c>null</c> when it is left out without default or wrong.</summary>
    /// <param name="name">The key.</param>
    /// <param name="word">The word of each.</param>
    public T? Choice<T>(string name, Func<T, string> word)
        where T : struct, Enum =>
        Word(name) is { } found ? Enum.GetValues<T>().First(one => word(one) == found) : null;

    /// <summary>The list of words under this key, each once; items that are none of the key's words are reported.</summary>
    /// <param name="name">The key.</param>
    /// <param name="word">The word of each of the closed set.</param>
    public IReadOnlyList<T> Choices<T>(string name, Func<T, string> word)
        where T : struct, Enum
    {
        var key = _section[name];
        if (Node(name) is not YamlSequence list)
        {
            if (Node(name) is not (null or YamlRefused))
                Problems.Error(Place(name), $"'{new Name(name)}' is a list, but {Kind(Place(name))} stands here", key.Range);
            return [];
        }

        List<string> words = [];
        foreach (var item in list.Items.Where(i => i is not YamlRefused))
        {
            if (item is YamlScalar scalar && key.Words.Contains(scalar.Value))
                words.Add(scalar.Value);
            else
                Problems.Error(
                    item,
                    item is YamlScalar other
                        ? (Sentence)$"'{new Name(name)}' cannot hold {ProblemList.Quote(other.Value)}"
                        : $"an entry of '{new Name(name)}' is a word, but {Kind(item)} stands here",
                    key.Range,
                    item is YamlScalar slip ? NearestWord.Find(slip.Value, key.Words) : null);
        }

        return [.. words.Distinct(StringComparer.Ordinal).Select(found => Enum.GetValues<T>().First(one => word(one) == found))];
    }

    /// <summary>The texts of the list under this key; items that are none are reported.</summary>
    /// <param name="name">The key.</param>
    /// <param name="read">Gives the item, or <c>null</c> when the text is not one.</param>
    public IReadOnlyList<T> ListOf<T>(string name, Func<YamlScalar, T?> read)
    {
        if (Node(name) is not YamlSequence list)
        {
            if (Node(name) is not (null or YamlRefused))
                Problems.Error(Place(name), $"'{new Name(name)}' is a list, but {Kind(Place(name))} stands here", _section[name].Range);
            return [];
        }

        List<T> found = [];
        foreach (var item in list.Items.Where(item => item is not YamlRefused))
        {
            if (item is YamlScalar { IsEmpty: false, Value.Length: <= 60 } scalar && read(scalar) is { } one)
                found.Add(one);
            else
                Problems.Error(
                    item,
                    item is YamlScalar other
                        ? (Sentence)$"'{new Name(name)}' cannot hold {ProblemList.Quote(other.Value)}"
                        : $"'{new Name(name)}' cannot hold {Kind(item)}",
                    _section[name].Range);
        }

        return found;
    }

    /// <summary>The part under this key, or <c>null</c> when it is left out or no map.</summary>
    public YamlMapping? Part(string name)
    {
        var node = Node(name);
        if (node is not (null or YamlMapping or YamlRefused))
            Problems.Error(
                node,
                $"'{new Name(name)}' holds further keys, indented below it, but {Kind(node)} stands here",
                $"keys such as '{new Name(Example(name))}: …' on the lines below '{new Name(name)}:', or no '{new Name(name)}:' at all");
        return node as YamlMapping;

        static string Example(string part) => GardenKeys.Sections.First(s => s.Name == part).Keys[0].Name;
    }

    /// <summary>The maps of the list under this key; items that are none are reported.</summary>
    public IReadOnlyList<YamlMapping> List(string name)
    {
        switch (Node(name))
        {
            case null or YamlRefused:
                return [];
            case YamlSequence { Items.Count: > 0 } list:
                foreach (var item in list.Items.Where(i => i is not (YamlMapping or YamlRefused)))
                    Problems.Error(
                        item,
                        $"an entry of '{new Name(name)}' is a group of keys, but {Kind(item)} stands here",
                        $"'- key: value' with the entry's other keys indented below it");
                return [.. list.Items.OfType<YamlMapping>()];
            case YamlSequence list when !_section[name].Required:
                return [];
            case { } other:
                Problems.Error(
                    other,
                    $"'{new Name(name)}' is a list with one or more entries, but {Kind(other)} stands here",
                    $"entries below '{new Name(name)}:', each starting with '- '");
                return [];
        }
    }

    // Among durations the nearest spelling says nothing; only the same length written otherwise does.
    private static string? Nearest(string value, IReadOnlyList<string> words) =>
        value.Length > 0 && char.IsAsciiDigit(value[0])
            ? words.FirstOrDefault(w => DurationText.Parse(w) is { } duration && duration == DurationText.Parse(value))
            : NearestWord.Find(value, words);

    public YamlScalar? Scalar(string name)
    {
        var node = Node(name);
        switch (node)
        {
            case null or YamlRefused:
                return null;
            case YamlScalar { IsEmpty: false } scalar:
                return scalar;
            case YamlScalar:
                var standard = _section[name].Default;
                Problems.Error(
                    node,
                    $"'{new Name(name)}' has no value",
                    standard.Length == 0
                        ? _section[name].Range
                        : $"{_section[name].Range}; without the key, {new Name(standard)} holds");
                return null;
            default:
                Problems.Error(node, $"'{new Name(name)}' is a single value, but {Kind(node)} stands here", _section[name].Range);
                return null;
        }
    }

    private string? DefaultText(string name) => _section[name].Default is { Length: > 0 } text ? text : null;

    private void ReportUnknown(YamlScalar key)
    {
        var (names, quoted) = (_section.Keys.Select(k => k.Name).ToList(), ProblemList.Quote(key.Value));
        var elsewhere = GardenKeys.Sections.FirstOrDefault(s => s != _section && s.Keys.Any(k => k.Name == key.Value));
        var nearest = elsewhere is null ? NearestWord.Find(key.Value, names) : null;
        Problems.Error(
            key,
            elsewhere is null
                ? (Sentence)$"{quoted} is not a key of {_section.Place}"
                : $"{quoted} is not a key of {_section.Place}; it is one of {elsewhere.Place}, so look at the indentation",
            nearest is null ? (Sentence)$"one of {Sentence.Names(names)}" : null,
            nearest);
    }

    /// <summary>What a node is, as it stands before "stands here".</summary>
    public static Sentence Kind(YamlNode node) => node switch
    {
        YamlSequence { Items.Count: 0 } => (Sentence)$"an empty list",
        YamlSequence => $"a list",
        YamlMapping => $"a group of keys",
        YamlScalar { IsEmpty: true } => $"nothing",
        _ => $"a single value",
    };
}
