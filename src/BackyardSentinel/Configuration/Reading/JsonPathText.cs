namespace BackyardSentinel.Configuration.Reading;

/// <summary>Checks the form of a path into a JSON message: names with dots, list places and quoted names in brackets.</summary>
internal static class JsonPathText
{
    /// <summary>What is wrong with the path, or <c>null</c> when nothing is.</summary>
    public static string? Fault(string path)
    {
        if (path.StartsWith('$'))
            return "it starts with '$'; here a path starts with the first name";
        var i = 0;
        while (i < path.Length)
        {
            if (path[i] == '[')
            {
                if (BracketEnd(path, i) is not { } end)
                    return "what stands in [ ] is neither a place in a list, such as [0], nor a name in double quotes";
                i = end;
                if (i < path.Length && path[i] is not ('.' or '['))
                    return "after ']' comes '.', '[' or the end";
            }
            else
            {
                var start = i;
                while (i < path.Length && path[i] is not ('.' or '[' or ']' or '"' or '\'') && !char.IsWhiteSpace(path[i]))
                    i++;
                if (i == start)
                    return "a name is missing or holds a character that only a quoted name in brackets may hold";
            }

            if (i == path.Length || path[i] == '[')
                continue;
            if (path[i] != '.')
                return "a name with a space, a quote or a bracket stands in brackets and double quotes";
            if (++i == path.Length || path[i] == '[')
                return "after '.' comes a name";
        }

        return path.Length == 0 ? "it is empty" : null;
    }

    /// <summary>The position after the closing bracket of <c>[12]</c> or <c>["name"]</c>.</summary>
    private static int? BracketEnd(string path, int open)
    {
        var i = open + 1;
        if (i < path.Length && path[i] == '"')
        {
            var close = path.IndexOf("\"]", i + 1, StringComparison.Ordinal);
            return close > i + 1 ? close + 2 : null;
        }

        while (i < path.Length && char.IsAsciiDigit(path[i]))
            i++;
        return i > open + 1 && i - open <= 6 && i < path.Length && path[i] == ']' ? i + 1 : null;
    }
}
