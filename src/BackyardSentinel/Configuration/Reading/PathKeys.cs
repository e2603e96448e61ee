using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Reads keys that hold a path into a JSON message.</summary>
internal static class PathKeys
{
    /// <summary>The path as it stands in the file, its default, or <c>null</c> where it is left out or wrong.</summary>
    /// <param name="keys">The part of the file.</param>
    /// <param name="name">The key.</param>
    /// <param name="problems">Where problems go.</param>
    /// <param name="mayBeEach">The path may stand for each entry of a list.</param>
    public static string? Read(SectionReader keys, string name, ProblemList problems, bool mayBeEach = false)
    {
        // In YAML a bare ["air temp"] is a list; the reader means the path.
        if (keys.Node(name) is YamlSequence list)
        {
            problems.Error(
                list,
                $"'{new Name(name)}' starts with a bracket, which makes it a list in YAML",
                $"the whole path in single quotes, such as '[\"air temp\"]'");
            return null;
        }

        if (keys.Text(name) is not { } path)
            return null;
        if (JsonPathText.Fault(path, mayBeEach) is not { } fault)
            return path;
        problems.Error(
            keys.Place(name),
            $"'{new Name(name)}' cannot be {ProblemList.Quote(path)}: {fault}",
            keys.Range(name),
            path.StartsWith("$.", StringComparison.Ordinal) ? path[2..] : null);
        return null;
    }
}
