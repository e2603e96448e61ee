using System.CommandLine;
using System.CommandLine.Parsing;
using System.Text.RegularExpressions;
using BackyardSentinel.Configuration.Reading;

namespace BackyardSentinel.Commands;

/// <summary>Says what is wrong with a command line, in a sentence each and in the words of this program.</summary>
public static partial class UsageErrors
{
    /// <summary>Tells every mistake; <c>false</c> when a command was only left out, so that its help is the answer.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="error">Where to say it.</param>
    public static bool Tell(ParseResult parsed, TextWriter error)
    {
        var path = Path(parsed.CommandResult);
        var sentences = Swallowed(parsed) is { } swallowed ? [swallowed]
            : parsed.UnmatchedTokens.Count > 0 ? [Unknown(parsed.CommandResult.Command, path, Stray(parsed))]
            : parsed.Errors.Select(one => Sentence(one, parsed.CommandResult.Command)).OfType<string>().ToList();
        foreach (var sentence in sentences)
            error.WriteLine(sentence);
        return sentences.Count > 0;
    }

    /// <summary>
    /// What to say where nothing stands for something, as where a variable of a script was empty; <c>null</c>: nothing does. A message
    /// of a sensor may be empty.
    /// </summary>
    /// <param name="words">The command line.</param>
    public static string? Empty(IReadOnlyList<string> words)
    {
        for (var i = 0; i < words.Count; i++)
        {
            var before = i > 0 && words[i - 1].StartsWith("--", StringComparison.Ordinal) ? words[i - 1] : null;
            if (words[i].StartsWith("--", StringComparison.Ordinal) && words[i].EndsWith('='))
                return $"{words[i][..^1]} needs a value behind it, and there is none.";
            if (words[i].Length == 0 && before != "--payload")
                return before is null
                    ? "An empty text stands for a name; name what is meant, or leave it out."
                    : $"{before} needs a value after it, and \"\" is none.";
        }

        return null;
    }

    /// <summary>What to say where an option stands as another one's value, whose own was forgotten; <c>null</c>: none does.</summary>
    /// <param name="parsed">The command line.</param>
    public static string? Swallowed(ParseResult parsed)
    {
        var names = parsed.CommandResult.Command.Options.Concat(parsed.RootCommandResult.Command.Options).Select(option => option.Name);
        return parsed.CommandResult.Children.OfType<OptionResult>()
            .SelectMany(option => option.Tokens.Select(token => (option.Option.Name, token.Value)))
            .Where(one => names.Contains(one.Value))
            .Select(one => $"{one.Name} needs a value after it, and {one.Value} is an option itself.")
            .FirstOrDefault();
    }

    private static string Path(CommandResult result) =>
        result.Parent is CommandResult parent ? $"{Path(parent)} {result.Command.Name}".Trim() : "";

    /// <summary>The word that is one too many: an unknown option may be taken for an argument, and what follows it is left over.</summary>
    private static string Stray(ParseResult parsed) =>
        parsed.CommandResult.Children.OfType<ArgumentResult>()
            .SelectMany(argument => argument.Tokens)
            .FirstOrDefault(token => token.Value.StartsWith("--", StringComparison.Ordinal))?.Value
        ?? parsed.UnmatchedTokens[0];

    private static string Unknown(Command command, string path, string word)
    {
        var isOption = word.StartsWith('-');
        var names = isOption ? command.Options.Select(option => option.Name) : command.Subcommands.Select(sub => sub.Name);
        var near = NearestWord.Find(word, names) is { } nearest ? $" Did you mean {nearest}?" : "";
        var who = path.Length > 0 ? $"'{path}'" : "The program";
        return isOption ? $"{who} has no option {word}.{near}"
            : command.Subcommands.Count > 0
                ? $"{who} has no command \"{word}\"; it has {string.Join(", ", command.Subcommands.Select(sub => sub.Name))}.{near}"
            : $"{who} takes no \"{word}\". A text with spaces needs quotation marks round it.";
    }

    /// <summary>The library's words name types of the framework and files of its own; <c>null</c>: only a command is missing.</summary>
    private static string? Sentence(ParseError problem, Command command)
    {
        var text = problem.Message;
        if (WrongType().Match(text) is { Success: true } wrong)
        {
            var where = wrong.Groups["kind"].Value == "option" ? wrong.Groups["name"].Value : command.Arguments[0].Name;
            var kind = wrong.Groups["type"].Value is "Int32" or "Int64" ? "whole number" : "number";
            return $"{where}: \"{wrong.Groups["value"].Value}\" is no {kind}.";
        }

        if (WrongWord().Match(text) is { Success: true } choice)
            return $"\"{choice.Groups["value"].Value}\" cannot stand here; "
                + $"it is one of {string.Join(", ", Quoted().Matches(choice.Groups["rest"].Value).Select(one => one.Groups[1].Value))}.";
        if (NeededOption().Match(text) is { Success: true } option)
            return $"{option.Groups[1].Value} is missing: "
                + $"{Described(command.Options.FirstOrDefault(one => one.Name == option.Groups[1].Value)?.Description)}";
        if (NeededArgument().Match(text) is { Success: true } argument)
            return $"{argument.Groups[1].Value} is missing: "
                + $"{Described(command.Arguments.FirstOrDefault(one => one.Name == argument.Groups[1].Value)?.Description)}";
        if (NeededValue().Match(text) is { Success: true } value)
            return $"{value.Groups[1].Value} needs a value after it.";
        if (Repeated().Match(text) is { Success: true } twice)
            return $"{twice.Groups[1].Value} stands here more than once; give it once.";
        return text.StartsWith("Required command", StringComparison.Ordinal) ? null : text;
    }

    private static string Described(string? description) =>
        description is { Length: > 0 } words ? char.ToLowerInvariant(words[0]) + words[1..].TrimEnd('.') + "." : "see --help.";

    [GeneratedRegex(
        @"^Cannot parse argument '(?<value>.*)' for (?<kind>option|command) '(?<name>.*)' "
            + @"as expected type '(?:System\.)?(?:Nullable.*System\.)?(?<type>\w+)",
        RegexOptions.CultureInvariant | RegexOptions.Singleline
    )]
    private static partial Regex WrongType();

    [GeneratedRegex(
        @"^Argument '(?<value>.*)' not recognized\. Must be one of:(?<rest>.*)$",
        RegexOptions.CultureInvariant | RegexOptions.Singleline
    )]
    private static partial Regex WrongWord();

    [GeneratedRegex(@"'([^']+)'", RegexOptions.CultureInvariant)]
    private static partial Regex Quoted();

    [GeneratedRegex(@"^Option '(.*)' is required\.$", RegexOptions.CultureInvariant)]
    private static partial Regex NeededOption();

    [GeneratedRegex(@"^Required argument '(.*)' missing for command", RegexOptions.CultureInvariant)]
    private static partial Regex NeededArgument();

    [GeneratedRegex(@"^Option '(.*)' expects a single argument but \d+ were provided", RegexOptions.CultureInvariant)]
    private static partial Regex Repeated();

    [GeneratedRegex(@"^Required argument missing for option: '(.*)'", RegexOptions.CultureInvariant)]
    private static partial Regex NeededValue();
}
