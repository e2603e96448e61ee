using System.Text.RegularExpressions;
using Fluid;

namespace BackyardSentinel.Delivery;

/// <summary>The parts of a file of words: single words by name, and templates by heading.</summary>
internal sealed partial class WordsFile
{
    private const string WordsHeading = "words", PageHeading = "page";

    /// <summary>The language of what the program says by itself.</summary>
    public const string English = "en";

    /// <summary>What stands before the name of a word of the page.</summary>
    public const string PagePrefix = "page.";

    private readonly Dictionary<string, (string Text, int Line)> _words = new(StringComparer.Ordinal);
    private readonly Dictionary<string, (string Text, int Line)> _sentences = new(StringComparer.Ordinal);
    private readonly Dictionary<string, (string Text, int Line)> _parts = new(StringComparer.Ordinal);
    private readonly Dictionary<string, IFluidTemplate> _templates = new(StringComparer.Ordinal);
    private FluidParser? _parser;
    private WordsFile? _builtIn;

    private WordsFile(string name) => Name = name;

    /// <summary>The file's name, for messages.</summary>
    public string Name { get; }

    /// <summary>Takes the text apart.</summary>
    public static WordsFile Read(string text, string name)
    {
        var file = new WordsFile(name);
        string? heading = null;
        var headingLine = 0;
        var part = new List<string>();
        var number = 0;
        foreach (var line in text.ReplaceLineEndings("\n").TrimStart('\uFEFF').Split('\n').Append("---"))
        {
            number++;
            if (!line.StartsWith("---", StringComparison.Ordinal))
            {
                part.Add(line);
                continue;
            }

            if (heading is not null)
                file.Add(heading, headingLine, part);
            (heading, headingLine) = (line[3..].Trim(), number);
            part.Clear();
        }

        return file;
    }

    /// <summary>
    /// Lets the built-in file stand in for what this one lacks, so that an update that brings a sentence stops nobody who has words of
    /// their own.
    /// </summary>
    /// <param name="builtIn">The built-in file.</param>
    /// <returns>In what they differ.</returns>
    /// <exception cref="WordsProblemException">Nothing of it is known, or something in braces is not.</exception>
    public WordsGaps CompleteFrom(WordsFile builtIn)
    {
        _builtIn = builtIn;
        WordsGaps gaps = new(
            Name,
            builtIn.Word(PagePrefix + "language"),
            [
                .. Missing(WordsHeading, builtIn._words.Where(word => !IsOfPage(word.Key)), _words),
                .. Missing(WordsGaps.SentencesHeading, builtIn._sentences, _sentences),
                .. Missing(PageHeading, builtIn._words.Where(word => IsOfPage(word.Key)), _words),
                .. builtIn._parts.Where(part => !_parts.ContainsKey(part.Key))
                    .Select(part => new WordsGap(part.Key, null, part.Value.Text)),
            ],
            [
                .. Unused(_words, builtIn._words).Select(word => (word.Line, NameIn(word.Key))),
                .. Unused(_sentences, builtIn._sentences),
                .. Unused(_parts, builtIn._parts).Select(part => (part.Line, $"--- {part.Key}")),
            ],
            builtIn._words.Count + builtIn._sentences.Count + builtIn._parts.Count);
        if (gaps.Missing.Count == gaps.Of)
            throw new WordsProblemException(
                $"{Name}: nothing in it is known as words of alerts or page; copy the built-in file, and change what stands there.");
        foreach (var (key, word) in builtIn._words.Where(word => _words.ContainsKey(word.Key)))
            MustFillAs(word.Text, _words[key].Text, NameIn(key));
        foreach (var pattern in builtIn._sentences.Keys.Where(_sentences.ContainsKey))
            MustFillAs(pattern, _sentences[pattern].Text, pattern);
        return gaps;
    }

    private static IEnumerable<WordsGap> Missing(
        string heading,
        IEnumerable<KeyValuePair<string, (string Text, int Line)>> builtIn,
        Dictionary<string, (string Text, int Line)> own) =>
        builtIn.Where(one => !own.ContainsKey(one.Key)).Select(one => new WordsGap(heading, NameIn(one.Key), one.Value.Text));

    private static IEnumerable<(int Line, string Key)> Unused(
        Dictionary<string, (string Text, int Line)> own, Dictionary<string, (string Text, int Line)> builtIn) =>
        own.Where(one => !builtIn.ContainsKey(one.Key)).Select(one => (one.Value.Line, one.Key));

    /// <summary>What stands in braces is filled in by its name, so a name of one's own would be shown as it stands.</summary>
    private void MustFillAs(string builtIn, string own, string key)
    {
        if (own.Length == 0)
            throw new WordsProblemException(
                $"{Name}: '{key} =' says nothing; write it there, or take the line out and let the built-in words stand in.");
        var known = Braces().Matches(builtIn).Select(brace => brace.Value).ToList();
        var may = known.Count == 0 ? "nothing in braces" : string.Join(", ", known);
        if (Braces().Matches(own).Select(brace => brace.Value).FirstOrDefault(brace => !known.Contains(brace)) is { } strange)
            throw new WordsProblemException(
                $"{Name}: '{key} = …' has {strange}, which nothing fills in; the built-in words have {may} there.");
    }

    /// <summary>
    /// A sentence of the program, with the language of the built-in words where the file lacks it; <c>null</c>: of another version.
    /// </summary>
    /// <param name="pattern">Its English pattern.</param>
    public (string? Pattern, string? Language) Sentence(string pattern) =>
        _sentences.TryGetValue(pattern, out var own) ? (own.Text, null)
        : _builtIn?._sentences.TryGetValue(pattern, out var other) == true ? (other.Text, _builtIn.Word(PagePrefix + "language"))
        : (null, null);

    /// <summary>A single word.</summary>
    public string Word(string key) => _words.TryGetValue(key, out var word)
        ? word.Text
        : _builtIn?.Word(key)
        ?? throw new WordsProblemException(
            $"{Name}: the part '--- {(IsOfPage(key) ? PageHeading : WordsHeading)}' has no line '{NameIn(key)} = …'; "
                + "add it as in the built-in file.");

    /// <summary>One of a list of words between spaces.</summary>
    /// <param name="list">The list's name.</param>
    /// <param name="index">Which, from 0.</param>
    /// <param name="count">So many must stand there.</param>
    public string Nth(string list, int index, int count)
    {
        var names = Word(list).Split(' ', StringSplitOptions.RemoveEmptyEntries);
        return names.Length == count
            ? names[index]
            : throw new WordsProblemException(
                $"{Name}: '{list}' has {names.Length} names but needs {count}; set a space between them and none within.");
    }

    /// <summary>
    /// The template under a heading such as <c>level-risen title</c>, with the heading's line. Each is read when it is first
    /// needed: a program that says nothing pays nothing.
    /// </summary>
    public (IFluidTemplate Template, int Line) Template(string heading)
    {
        if (!_parts.TryGetValue(heading, out var part))
            return _builtIn?.Template(heading)
                ?? throw new WordsProblemException($"{Name}: there is no part '--- {heading}'; add it as in the built-in file.");
        if (!_templates.TryGetValue(heading, out var template))
        {
            if (LiquidRange.IsIn(part.Text))
                throw new WordsProblemException($"{Name}:{part.Line}: the part '--- {heading}' {LiquidRange.Fault}.");
            if (!(_parser ??= new FluidParser()).TryParse(part.Text, out template, out var error))
                throw new WordsProblemException(
                    $"{Name}:{part.Line}: the part '--- {heading}' is no valid Liquid template ({error}); mend it there.");
            _templates.Add(heading, template);
        }

        return (template, part.Line);
    }

    private void Add(string heading, int line, List<string> part)
    {
        if (heading == WordsGaps.SentencesHeading)
            AddSentences(line, part);
        else if (heading is WordsHeading or PageHeading)
            AddWords(line, part, heading == PageHeading ? PagePrefix : "");
        else if (!_parts.TryAdd(heading, (string.Join('\n', part), line)))
            throw new WordsProblemException($"{Name}:{line}: there is a second part '--- {heading}'; take one of them out.");
    }

    /// <summary>What is filled in, by its name between braces.</summary>
    [GeneratedRegex(@"\{[\w-]+\}")]
    public static partial Regex Braces();

    private static bool IsOfPage(string key) => key.StartsWith(PagePrefix, StringComparison.Ordinal);

    private static string NameIn(string key) => IsOfPage(key) ? key[PagePrefix.Length..] : key;

    /// <summary>English pattern, then <c> = </c> and the translation; without one it stands for itself.</summary>
    private void AddSentences(int headingLine, List<string> part)
    {
        for (var i = 0; i < part.Count; i++)
        {
            if (part[i].Trim() is not { Length: > 0 } line || line[0] == '#')
                continue;
            var halves = line.Split(" = ", 2);
            if (!_sentences.TryAdd(halves[0].Trim(), (halves[^1].Trim(), headingLine + 1 + i)))
                throw new WordsProblemException($"{Name}:{headingLine + 1 + i}: the sentence '{halves[0]}' stands there twice; "
                    + $"take one of them out.");
        }
    }

    private void AddWords(int headingLine, List<string> part, string prefix)
    {
        for (var i = 0; i < part.Count; i++)
        {
            if (part[i].Trim() is not { Length: > 0 } line || line[0] == '#')
                continue;
            var at = line.IndexOf('=', StringComparison.Ordinal);
            if (at <= 0 || !_words.TryAdd(prefix + line[..at].Trim(), (line[(at + 1)..].Trim(), headingLine + 1 + i)))
                throw new WordsProblemException(
                    $"{Name}:{headingLine + 1 + i}: '{line}' is not 'name = word' with a name of its own; write it so.");
        }
    }
}
