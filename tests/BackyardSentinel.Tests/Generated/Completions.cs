namespace BackyardSentinel.Tests.Generated;

/// <summary>What the shells complete after the program's name, made from its commands, so that no shell has to ask it.</summary>
internal static class Completions
{
    private const string Head = "# Completion of backyard-sentinel. Made from its commands by: " + GeneratedFile.Command + "\n";

    /// <summary>A file for each shell.</summary>
    public static IReadOnlyList<GeneratedFile> Files { get; } =
    [
        new("deploy/completions/backyard-sentinel.bash", _ => Bash()),
        new("deploy/completions/backyard-sentinel.zsh", _ => Zsh()),
        new("deploy/completions/backyard-sentinel.fish", _ => Fish()),
    ];

    private static string Paths => string.Join('|', CommandTree.All.Skip(1).Select(one => one.Path));

    private static string Bash()
    {
        var text = new StringBuilder(Head).Append(
            $$"""
            _backyard_sentinel() {
              local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} path= word words=
              for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
                case "$path/$word" in
            {{Folded(Paths)}}) path=$path/$word ;;
                esac
              done
              COMPREPLY=()
              case "$path $prev" in

            """);
        foreach (var (path, option, values) in WithValues())
            text.Append($"    \"{path} {option}\") {(values.Count == 0 ? "return" : $"words='{string.Join(' ', values)}'")} ;;\n");
        text.Append("    *)\n      case \"$path\" in\n");
        foreach (var one in CommandTree.All)
            text.Append($"        '{one.Path}') words='{string.Join("\n", one.Next.Select(next => next.Word))}' ;;\n");
        return text.Append(
            """
                  esac ;;
              esac
              mapfile -t COMPREPLY < <(compgen -W "$words" -- "$cur")
            }
            complete -o default -F _backyard_sentinel backyard-sentinel

            """).ToString();
    }

    private static string Zsh()
    {
        var text = new StringBuilder("#compdef backyard-sentinel\n").Append(Head).Append(
            $$"""
            local at= word
            local -a next
            for word in "${(@)words[2,CURRENT-1]}"; do
              case "$at/$word" in
            {{Folded(Paths)}}) at=$at/$word ;;
              esac
            done
            case "$at ${words[CURRENT-1]}" in

            """);
        foreach (var (path, option, values) in WithValues())
            text.Append($"  '{path} {option}') {(values.Count == 0 ? "_files" : $"compadd -- {string.Join(' ', values)}")}; return ;;\n");
        text.Append("esac\ncase \"$at\" in\n");
        foreach (var one in CommandTree.All)
        {
            text.Append($"  '{one.Path}') next=(\n");
            foreach (var (word, does) in one.Next)
                text.Append($"    {Quoted(word.Replace(":", "\\:", StringComparison.Ordinal) + (does.Length > 0 ? ":" + does : ""))}\n");
            text.Append("  ) ;;\n");
        }

        return text.Append("esac\n_describe 'next' next -o || _files\n").ToString();
    }

    private static string Fish()
    {
        var text = new StringBuilder(Head).Append(
            $$"""
            function __backyard_sentinel_at
              set -l at
              set -l paths {{string.Join(" \\\n    ", Paths.Split('|').Chunk(5).Select(some => string.Join(' ', some)))}}
              for word in (commandline -opc)[2..]
                contains -- "$at/$word" $paths; and set at "$at/$word"
              end
              test "$at" = "$argv[1]"
            end

            """);
        foreach (var one in CommandTree.All)
        {
            var at = $"complete -c backyard-sentinel -n '__backyard_sentinel_at \"{one.Path}\"'";
            foreach (var next in one.Subcommands)
                text.Append($"{at} -f -a {next.Name} -d {Escaped(next.Description)}\n");
            foreach (var option in one.Options)
            {
                var names = CommandTree.Spellings(option).Select(name =>
                    name.StartsWith("--", StringComparison.Ordinal) ? $" -l {name[2..]}" : $" -s {name[1..]}");
                var values = one.Values.FirstOrDefault(value => value.Option == option.Name).Values;
                var taken = values is null ? "" : values.Count == 0 ? " -r" : $" -x -a '{string.Join(' ', values)}'";
                text.Append($"{at}{string.Concat(names)}{taken}"
                    + $" -d {Escaped(option.Description)}\n");
            }
        }

        return text.ToString();
    }

    private static IEnumerable<(string Path, string Option, IReadOnlyList<string> Values)> WithValues() =>
        CommandTree.All.SelectMany(one => one.Values.Select(value => (one.Path, value.Option, value.Values)));

    /// <summary>The alternatives of a case, several to a line.</summary>
    private static string Folded(string paths) =>
        "      " + string.Join("|\\\n", paths.Split('|').Chunk(5).Select(some => string.Join('|', some)));

    private static string Quoted(string text) => "'" + text.Replace("'", "'\\''", StringComparison.Ordinal) + "'";

    private static string Escaped(string? text) =>
        "'" + (text ?? "").Replace("\\", "\\\\", StringComparison.Ordinal).Replace("'", "\\'", StringComparison.Ordinal) + "'";
}
