namespace BackyardSentinel.Tests;

/// <summary>
/// Tables and weather records too large, or under a licence too narrow, to travel with the sources. They may lie in a
/// folder <c>shared</c> beside the checkout; a test that wants them is skipped where they are missing.
/// </summary>
internal static class OutsideData
{
    public const string ReferenceMissing =
        "The reference tables are not beside this checkout; put them into ../shared/reference to run this check.";

    public const string WeatherMissing =
        "The weather records are not beside this checkout; put them into ../shared/weather to run this check.";

    public static string? Reference(string file) => Find("reference", file);

    public static string? Weather(string file) => Find("weather", file);

    /// <summary>Rows of a comma-separated file by column name; lines with # in front are comments.</summary>
    public static List<Dictionary<string, string>> Rows(string path)
    {
        var lines = File.ReadLines(path).Where(line => line.Length > 0 && line[0] != '#').Select(line => line.Split(','));
        var names = lines.First();
        return [.. lines.Skip(1).Select(cells => names.Zip(cells).ToDictionary(pair => pair.First, pair => pair.Second))];
    }

    private static string? Find(string folder, string file)
    {
        for (var at = new DirectoryInfo(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            var path = Path.Combine(at.FullName, "shared", folder, file);
            if (File.Exists(path))
                return path;
        }

        return null;
    }
}
