using YamlDotNet.Core;

namespace BackyardSentinel.Configuration;

/// <summary>Says in the gardener's words what the YAML parser stumbled over.</summary>
internal static class YamlSyntax
{
    public static void Report(YamlException error, string text, ProblemList problems)
    {
        var line = (int)Math.Max(1, error.Start.Line);
        var column = (int)Math.Max(1, error.Start.Column);
        var at = CharacterAt(text, line, column);
        var (message, expected) = at switch
        {
            '\t' => ("a tab stands where YAML counts spaces", "spaces for the indentation"),
            '%' or '@' or '`' => ($"a value may not start with '{at}' unless it is in quotes", "the value in quotes, for example unit: \"%\""),
            _ => Explain(error.Message),
        };
        problems.Error(line, column, message, expected);
    }

    private static (string Message, string Expected) Explain(string parser) => parser switch
    {
        _ when Says(parser, "mapping values are not allowed") =>
            ("a second ': ' stands where only a value can be", "one 'key: value' per line; put a value that contains ': ' in quotes"),
        _ when Says(parser, "quoted scalar") =>
            ("a quotation mark is opened here and never closed", "the same quotation mark at the end of the value"),
        _ when Says(parser, "flow sequence") =>
            ("a list in [ ] is not closed", "']' after the last item, commas between the items"),
        _ when Says(parser, "flow mapping") =>
            ("a map in { } is not closed", "'}' after the last value, commas between the keys"),
        _ when Says(parser, "block mapping") || Says(parser, "simple key") || Says(parser, "block sequence") || Says(parser, "block collection") =>
            ("the indentation or the form of this line does not fit the lines above", "'key: value' with a space after the colon, indented like its neighbours"),
        _ when Says(parser, "block scalar") =>
            ("the text block that starts here is malformed", "the value on one line, in quotes"),
        _ => ("the file is not valid YAML from here on", "'key: value' lines; look at this line and the one above for a missing colon, quote or space"),
    };

    private static bool Says(string parser, string phrase) => parser.Contains(phrase, StringComparison.OrdinalIgnoreCase);

    private static char CharacterAt(string text, int line, int column)
    {
        var lines = text.Split('\n');
        return line <= lines.Length && column <= lines[line - 1].Length ? lines[line - 1][column - 1] : '\0';
    }
}
