namespace BackyardSentinel.Tests.Configuration;

/// <summary>Finds the repository's files from wherever the tests run.</summary>
internal static class GardenFixtures
{
    public static string Root { get; } = FindRoot();

    public static string Scenario(string kind, string name) =>
        Path.Combine(Root, "tests", "scenarios", "garden", kind, name);

    /// <summary>A path of a good garden as the reader gives it: it starts at the folder of the garden file.</summary>
    public static string Beside(string path) => Path.Combine(Root, "tests", "scenarios", "garden", "good", path);

    public static IEnumerable<string> Names(string kind) =>
        Directory.EnumerateFiles(Path.Combine(Root, "tests", "scenarios", "garden", kind), "*.yaml")
            .Select(p => Path.GetFileName(p)!)
            .Order(StringComparer.Ordinal);

    private static string FindRoot()
    {
        for (var at = new DirectoryInfo(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (File.Exists(Path.Combine(at.FullName, "BackyardSentinel.sln")))
                return at.FullName;
        }

        throw new InvalidOperationException("BackyardSentinel.sln is in no folder above the tests.");
    }
}
