using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Guards;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>
/// Puts what stands in the files under <c>include</c> behind what the garden file itself has. They are read as if they stood there,
/// so every check holds across all of them; a problem names the file that it is in.
/// </summary>
internal static class IncludedFiles
{
    /// <summary>More files than gardens that one process is made for.</summary>
    private const int MostFiles = 10_000;

    /// <summary>The garden file's tree with the entries of the included files in it.</summary>
    public static YamlMapping Put(YamlMapping root, ProblemList problems)
    {
        var include = root.Entries.FirstOrDefault(entry => entry.Key.Value == "include");
        if (include is null)
            return root;
        Dictionary<string, List<YamlNode>> more = [];
        foreach (var (file, at) in Files(include.Value, problems))
        {
            foreach (var entry in Read(file, at, problems))
            {
                if (entry.Value is YamlSequence list)
                    (more.TryGetValue(entry.Key.Value, out var found) ? found : more[entry.Key.Value] = []).AddRange(list.Items);
                else if (entry.Value is not YamlRefused)
                    problems.Error(
                        entry.Value,
                        $"'{new Name(entry.Key.Value)}' is a list with one or more entries",
                        $"entries, each starting with '- '");
            }
        }

        List<YamlEntry> entries = [];
        foreach (var entry in root.Entries)
        {
            var joined = entry.Value is YamlSequence own && more.Remove(entry.Key.Value, out var added)
                ? own with { Items = [.. own.Items, .. added] }
                : entry.Value;
            entries.Add(entry with { Value = joined });
        }

        entries.AddRange(
            more.Select(
                one => new YamlEntry(
                    new YamlScalar(include.Key.Line, include.Key.Column, one.Key, Quoted: false),
                    new YamlSequence(include.Key.Line, include.Key.Column, one.Value))));
        return root with { Entries = entries };
    }

    private static List<(string File, YamlNode At)> Files(YamlNode list, ProblemList problems)
    {
        if (list is not YamlSequence { Items.Count: > 0 } names)
        {
            problems.Error(list, $"'include' is a list of files", GardenKeys.Garden["include"].Range);
            return [];
        }

        List<(string File, YamlNode At)> files = [];
        HashSet<string> seen = new(StringComparer.Ordinal);
        foreach (var item in names.Items)
        {
            if (item is not YamlScalar { IsEmpty: false } name)
            {
                problems.Error(item, $"an entry of 'include' is the path of a file", GardenKeys.Garden["include"].Range);
                continue;
            }

            var found = Matching(problems.Beside(name.Value));
            if (found.Count == 0)
                problems.Error(name, $"there is no file {ProblemList.Quote(name.Value)} beside the garden file", $"the path of a file");
            files.AddRange(found.Where(seen.Add).Select(file => (file, (YamlNode)name)));
        }

        if (files.Count <= MostFiles)
            return files;
        problems.Error(list, $"'include' leads to {files.Count} files", $"{MostFiles} files at most");
        return [];
    }

    /// <summary>
    /// The files of a name, in the order of their names; a star stands for anything within the last part but hidden files, pipes and
    /// devices.
    /// </summary>
    private static List<string> Matching(string path)
    {
        var (folder, name) = (Path.GetDirectoryName(path) ?? "", Path.GetFileName(path));
        if (!name.Contains('*', StringComparison.Ordinal))
            return File.Exists(path) || Directory.Exists(path) ? [path] : [];
        try
        {
            return [.. Directory.EnumerateFiles(folder.Length > 0 ? folder : ".", name)
                .Where(file => name.StartsWith('.') || !Path.GetFileName(file).StartsWith('.'))
                .Select(file => Path.Combine(folder, Path.GetFileName(file)))
                .Where(file => !OrdinaryFile.IsPipeOrDevice(file))
                .Order(StringComparer.Ordinal)];
        }
        catch (Exception cannot) when (cannot is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }

    private static List<YamlEntry> Read(string file, YamlNode at, ProblemList problems)
    {
        var (text, fault, expected) = GardenText.Load(file);
        if (text is null)
        {
            problems.Error(at, $"{ProblemList.Quote(file)} cannot be included: {fault!}", expected);
            return [];
        }

        problems.Take(file, text);
        switch (new YamlTree(text, problems, file).Read())
        {
            case YamlMapping map:
                // Says which keys are none of an included file.
                _ = new SectionReader(map, GardenKeys.Included, problems);
                return [.. map.Entries.Where(entry => GardenKeys.Included.Keys.Any(key => key.Name == entry.Key.Value))];
            case { } other:
                problems.Error(other, $"an included file starts with a key", $"'sites:' or 'products:' at the left margin");
                return [];
            default:
                return [];
        }
    }
}
