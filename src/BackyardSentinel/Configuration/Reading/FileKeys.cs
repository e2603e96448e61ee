using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Keys whose value is the path of a file beside the garden file.</summary>
internal static class FileKeys
{
    /// <summary>The path of a file, with a note when it is not there.</summary>
    public static string? Path(SectionReader keys, string name, ProblemList problems, Sentence? without = null)
    {
        var path = keys.Text(name) is { } written ? problems.Beside(written) : null;
        if (path is not null && !File.Exists(path))
            problems.Note(
                keys.Place(name),
                $"there is no file {ProblemList.Quote(path)} at the moment; {without ?? $"'run' would stop here"}");
        return path;
    }
}
