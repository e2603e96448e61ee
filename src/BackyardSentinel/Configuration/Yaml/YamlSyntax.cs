using System.Text.RegularExpressions;
using BackyardSentinel.Wording;
using YamlDotNet.Core;

namespace BackyardSentinel.Configuration.Yaml;

/// <summary>Says in the gardener's words what the YAML parser stumbled over.</summary>
internal static partial class YamlSyntax
{
    private static readonly (Sentence, Sentence) SecondColon =
        ($"a second ': ' stands where only a value can be", $"one 'key: value' per line; put a value that contains ': ' in quotes");

    public static void Report(Mark place, string parserMessage, string text, ProblemList problems, string? included)
    {
        var line = (int)Math.Max(1, place.Line);
        var column = (int)Math.Max(1, place.Column);
        var lines = text.Split('\n');
        // The parser often gives up a line or more after the slip; these two are found where they were made.
        if (FindSlip(lines, line, TabInIndent()) is { } tab)
        {
            problems.Error(
                included,
                tab.Line,
                tab.Column,
                $"a tab stands in the indentation, where YAML counts spaces",
                $"spaces instead of the tab");
            return;
        }

        if (FindSlip(lines, line, NoSpaceAfterColon()) is { } colon)
        {
            problems.Error(
                included,
                colon.Line,
                colon.Column,
                $"the space after the colon is missing, so this is no key with a value",
                $"'key: value' with a space after the colon");
            return;
        }

        var at = CharacterAt(lines, line, column);
        (Sentence Message, Sentence Expected) says = at switch
        {
            '\t' => ($"a tab stands where YAML counts spaces", $"spaces for the indentation"),
            '%' or '@' or '`' => (
                $"a value may not start with '{new Name(at.ToString())}' unless it is in quotes",
                $"the value in quotes, for example unit: \"%\""),
            ':' when lines[line - 1][..(column - 1)].Contains(": ", StringComparison.Ordinal) => SecondColon,
            _ => Explain(parserMessage),
        };
        problems.Error(included, line, column, says.Message, says.Expected);
    }

    private static (Sentence Message, Sentence Expected) Explain(string parser) =>
        parser switch
        {
            _ when Says(parser, "mapping values are not allowed") => SecondColon,
            _ when Says(parser, "quoted scalar") => (
                $"a quotation mark is opened here and never closed",
                $"the same quotation mark at the end of the value"),
            _ when Says(parser, "flow sequence") => (
                $"a list in [ ] is not closed before this place",
                $"']' after the last item, commas between the items"),
            _ when Says(parser, "flow mapping") => (
                $"a map in {{ }} is not closed before this place",
                $"'}}' after the last value, commas between the keys"),
            _ when Says(parser, "block mapping")
                    || Says(parser, "simple key")
                    || Says(parser, "block sequence")
                    || Says(parser, "block collection") => (
                $"the indentation or the form of this line does not fit the lines above",
                $"'key: value' with a space after the colon, indented like its neighbours"),
            _ when Says(parser, "block scalar") => ($"the text block that starts here is malformed", $"the value on one line, in quotes"),
            _ => (
                $"the file is not valid YAML from here on",
                $"'key: value' lines; look at this line and the one above for a missing colon, quote or space"),
        };

    private static bool Says(string parser, string phrase) => parser.Contains(phrase, StringComparison.OrdinalIgnoreCase);

    private static char CharacterAt(string[] lines, int line, int column) =>
        line <= lines.Length && column <= lines[line - 1].Length ? lines[line - 1][column - 1] : '\0';

    /// <summary>The slip in the line of the error or the lines beside it.</summary>
    private static (int Line, int Column)? FindSlip(string[] lines, int line, Regex slip)
    {
        for (var i = Math.Max(0, line - 2); i <= Math.Min(lines.Length - 1, line); i++)
        {
            if (slip.Match(lines[i]) is { Success: true } match)
                return (i + 1, match.Groups["at"].Index + 1);
        }

        return null;
    }

    [GeneratedRegex(@"^ *(?<at>\t)", RegexOptions.CultureInvariant)]
    private static partial Regex TabInIndent();

    [GeneratedRegex(@"^ *(- )?[a-z_]+(?<at>:)[^\s/:]", RegexOptions.CultureInvariant)]
    private static partial Regex NoSpaceAfterColon();
}
