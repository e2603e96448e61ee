using System.Text.RegularExpressions;

namespace BackyardSentinel.Tests.Delivery;

/// <summary>A built-in file of words as its text has it, taken apart without the program's own reader.</summary>
internal sealed partial class WordsText
{
    private WordsText(string language)
    {
        Text = File.ReadAllText(Checkout.Path("src", "BackyardSentinel", "Delivery", $"words.{language}.liquid"));
        foreach (var part in Text.Split("\n---")[1..])
        {
            var (heading, body) = Halves(part, '\n');
            if (heading == "sentences")
            {
                foreach (var line in body.Split('\n').Where(line => line.Length > 0))
                {
                    var halves = line.Split(" = ", 2);
                    Sentences.Add(halves[0], halves[^1]);
                }

                continue;
            }

            if (heading is not ("words" or "page"))
            {
                Templates.Add(heading, body);
                continue;
            }

            foreach (var line in body.Split('\n').Where(line => line.Contains('=', StringComparison.Ordinal)))
            {
                var (key, word) = Halves(line, '=');
                Words.Add($"{heading}:{key}", word);
            }
        }
    }

    public static WordsText English { get; } = new("en");

    public static WordsText German { get; } = new("de");

    public string Text { get; }

    /// <summary>Single words and sentences by part and key, such as <c>page:now.clear</c>.</summary>
    public Dictionary<string, string> Words { get; } = new(StringComparer.Ordinal);

    /// <summary>Sentences of the core by their English patterns.</summary>
    public Dictionary<string, string> Sentences { get; } = new(StringComparer.Ordinal);

    /// <summary>Templates by heading.</summary>
    public Dictionary<string, string> Templates { get; } = new(StringComparer.Ordinal);

    /// <summary>What stands in braces in a word.</summary>
    public static IEnumerable<string> Braces(string word) => Brace().Matches(word).Select(one => one.Value).Order(StringComparer.Ordinal);

    /// <summary>The facts that the two templates of a kind of alert use.</summary>
    public IEnumerable<string> FactsOf(string kind) =>
        Tag().Matches(Templates[$"{kind} title"] + Templates[$"{kind} body"])
            .SelectMany(tag => Name().Matches(Quoted().Replace(tag.Groups[1].Value, "")).Select(name => name.Value))
            .Except(["if", "elsif", "else", "endif", "unless", "endunless", "case", "when", "endcase"])
            .Except(["capitalize", "replace", "prepend", "remove_first"])
            .Distinct()
            .Order(StringComparer.Ordinal);

    private static (string Before, string After) Halves(string text, char mark)
    {
        var at = text.IndexOf(mark, StringComparison.Ordinal);
        return (text[..at].Trim(), text[(at + 1)..].Trim());
    }

    [GeneratedRegex(@"\{\w+\}")]
    private static partial Regex Brace();

    [GeneratedRegex(@"\{[{%](.*?)[%}]\}")]
    private static partial Regex Tag();

    [GeneratedRegex("'[^']*'")]
    private static partial Regex Quoted();

    [GeneratedRegex(@"[a-z]\w*")]
    private static partial Regex Name();
}
