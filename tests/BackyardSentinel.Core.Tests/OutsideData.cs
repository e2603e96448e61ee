using System.IO.Compression;

namespace BackyardSentinel.Tests;

/// <summary>
/// Tables and weather records from outside the project. What is free to carry lies in <c>tests/data</c>, see the README
/// there, and its tests always run; the rest may lie in a folder <c>shared</c> beside the checkout, and a test that wants
/// it is skipped where it is missing.
/// </summary>
internal static class OutsideData
{
    public const string ReferenceMissing =
        "This reference table is not ours to copy; put it into ../shared/reference to run this check.";

    public const string WeatherMissing =
        "This weather record is not in the sources; put it into ../shared/weather to run this check.";

    /// <summary>A reference table, or null where it is not at hand.</summary>
    public static string? Reference(string file) => Find("reference", file);

    /// <summary>A weather record or what was worked out from it, or null where it is not at hand. It may be packed by gzip.</summary>
    public static string? Weather(string file) => Find("weather", file);

    /// <summary>A reference table that is in the sources.</summary>
    public static string Carried(string file) =>
        Reference(file) ?? throw new InvalidOperationException($"tests/data/reference/{file} was not found in the checkout.");

    /// <summary>A folder of <c>tests/scenarios</c>.</summary>
    public static string Scenarios(string folder)
    {
        for (var at = new DirectoryInfo(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (Path.Combine(at.FullName, "tests", "scenarios", folder) is var path && Directory.Exists(path))
                return path;
        }

        throw new DirectoryNotFoundException($"tests/scenarios/{folder} was not found in the checkout.");
    }

    /// <summary>Lines of a file, plain or packed by gzip.</summary>
    public static IEnumerable<string> Lines(string path)
    {
        using var file = File.OpenRead(path);
        using var text = new StreamReader(
            path.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(file, CompressionMode.Decompress) : file);
        while (text.ReadLine() is { } line)
            yield return line;
    }

    /// <summary>Rows of a comma-separated file by column name; lines with # in front are comments.</summary>
    public static List<Dictionary<string, string>> Rows(string path)
    {
        var lines = Lines(path).Where(line => line.Length > 0 && line[0] != '#').Select(line => line.Split(',')).ToList();
        return [.. lines.Skip(1).Select(cells => lines[0].Zip(cells).ToDictionary(pair => pair.First, pair => pair.Second))];
    }

    private static string? Find(string folder, string file)
    {
        for (var at = new DirectoryInfo(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            var carried = Path.Combine(at.FullName, "tests", "data", folder, file);
            string[] places = [carried, carried + ".gz", Path.Combine(at.FullName, "shared", folder, file)];
            if (places.FirstOrDefault(File.Exists) is { } path)
                return path;
        }

        return null;
    }
}
