using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>
/// Checks the form of a path into a JSON message: names with dots, and in brackets list places, quoted names, <c>name=value</c> for
/// one entry of a list and, once, <c>*</c> for each.
/// </summary>
internal static class JsonPathText
{
    /// <summary>What is wrong with the path, or <c>null</c> when nothing is.</summary>
    /// <param name="path">The path.</param>
    /// <param name="mayBeEach">It may stand for each entry of a list.</param>
    public static Sentence? Fault(string path, bool mayBeEach = false)
    {
        if (path.Contains("[*]", StringComparison.Ordinal) && (!mayBeEach || path.Split("[*]").Length > 2))
            return mayBeEach ? (Sentence)$"[*] stands for each entry of one list, so it may stand there once" : $"[*] has no meaning here";
        if (path.StartsWith('$'))
            return $"it starts with '$'; here a path starts with the first name";
        var i = 0;
        while (i < path.Length)
        {
            if (path[i] == '[')
            {
                if (BracketEnd(path, i) is not { } end)
                    return mayBeEach
                        ? (Sentence)($"what stands in [ ] is neither a place in a list, such as [0], nor * for each, nor name=value, "
                            + $"nor a name in double quotes")
                        : $"what stands in [ ] is neither a place in a list, such as [0], nor a name in double quotes";
                i = end;
                if (i < path.Length && path[i] is not ('.' or '['))
                    return $"after ']' comes '.', '[' or the end";
            }
            else
            {
                var start = i;
                while (i < path.Length && path[i] is not ('.' or '[' or ']' or '"' or '\'') && !char.IsWhiteSpace(path[i]))
                    i++;
                if (i == start)
                    return $"a name is missing or holds a character that only a quoted name in brackets may hold";
            }

            if (i == path.Length || path[i] == '[')
                continue;
            if (path[i] != '.')
                return $"a name with a space, a quote or a bracket stands in brackets and double quotes";
            if (++i == path.Length || path[i] == '[')
                return $"after '.' comes a name";
        }

        return path.Length == 0 ? (Sentence)$"it is empty" : null;
    }

    /// <summary>The position after the closing bracket of <c>[12]</c>, <c>["name"]</c>, <c>[*]</c> or <c>[name=value]</c>.</summary>
    private static int? BracketEnd(string path, int open)
    {
        var i = open + 1;
        if (i < path.Length && path[i] == '"')
        {
            var close = path.IndexOf("\"]", i + 1, StringComparison.Ordinal);
            return close > i + 1 ? close + 2 : null;
        }

        if (path.IndexOf(']', i) is > 0 and var end
            && (path[i..end] == "*" || path.IndexOf('=', i) is var equals && equals > i && equals < end))
            return end + 1;
        while (i < path.Length && char.IsAsciiDigit(path[i]))
            i++;
        return i > open + 1 && i - open <= 6 && i < path.Length && path[i] == ']' ? i + 1 : null;
    }
}
