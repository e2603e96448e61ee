using System.CommandLine;
using System.CommandLine.Completions;

namespace BackyardSentinel.Tests.Generated;

/// <summary>A command of the program with what may be typed after it.</summary>
/// <param name="Path">The words before it and its own, joined by slashes: <c>/journal/add</c>; empty: the program itself.</param>
/// <param name="Command">The command.</param>
/// <param name="Recursive">Options of commands above it that it takes too.</param>
internal sealed record CommandTree(string Path, Command Command, IReadOnlyList<Option> Recursive)
{
    /// <summary>The program and every command, each before its own subcommands.</summary>
    public static IReadOnlyList<CommandTree> All { get; } = [.. Walk("", Root(), [])];

    /// <summary>The words as they are typed: <c>journal add</c>.</summary>
    public string Words => Path.Trim('/').Replace('/', ' ');

    /// <summary>Its subcommands.</summary>
    public IEnumerable<Command> Subcommands => Command.Subcommands.Where(one => !one.Hidden);

    /// <summary>Its own options and those that it takes from above.</summary>
    public IEnumerable<Option> Options => Command.Options.Concat(Recursive).Where(one => !one.Hidden);

    /// <summary>What may come next, with what it does.</summary>
    public IEnumerable<(string Word, string Does)> Next =>
    [
        .. Subcommands.Select(one => (one.Name, one.Description ?? "")),
        .. Command.Arguments.SelectMany(WordsOf).Select(word => (word, "")),
        .. Options.SelectMany(one => Spellings(one).Select(name => (name, one.Description ?? ""))),
    ];

    /// <summary>Options that take one of a few words, by each of their spellings.</summary>
    public IEnumerable<(string Option, IReadOnlyList<string> Values)> Values =>
        from option in Options
        let values = WordsOf(option).ToList()
        where TakesValue(option)
        from name in Spellings(option)
        select (name, (IReadOnlyList<string>)values);

    /// <summary>The long spelling and the short ones.</summary>
    public static IEnumerable<string> Spellings(Option option) =>
        option.Aliases.Prepend(option.Name).Where(name => name.StartsWith('-') && name != "-?").Distinct(StringComparer.Ordinal);

    /// <summary>Whether a value follows it.</summary>
    public static bool TakesValue(Option option) => option.ValueType != typeof(bool) && option.Arity.MaximumNumberOfValues > 0;

    private static IEnumerable<string> WordsOf(Symbol symbol) =>
        symbol is Command ? [] : symbol.GetCompletions(CompletionContext.Empty).Select(one => one.Label);

    private static RootCommand Root()
    {
        var verbose = new Option<bool>("--verbose") { Description = "Say more, with stack traces", Recursive = true };
        var root = new RootCommand("Backyard Sentinel: watches your garden's weather for peach leaf curl") { verbose };
        foreach (var command in CommandList.For(null, verbose, TimeProvider.System))
            root.Add(command);
        return root;
    }

    private static IEnumerable<CommandTree> Walk(string path, Command command, IReadOnlyList<Option> above)
    {
        yield return new CommandTree(path, command, above);
        List<Option> recursive = [.. above, .. command.Options.Where(one => one.Recursive)];
        foreach (var inner in command.Subcommands.Where(one => !one.Hidden).SelectMany(one => Walk($"{path}/{one.Name}", one, recursive)))
            yield return inner;
    }
}
