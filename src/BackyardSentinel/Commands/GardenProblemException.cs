using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Yaml;

namespace BackyardSentinel.Commands;

/// <summary>A garden file that cannot be used, with every reason.</summary>
public sealed class GardenProblemException(IReadOnlyList<Problem> problems) : Exception("The garden file cannot be used.")
{
    /// <summary>What is wrong with it.</summary>
    public IReadOnlyList<Problem> Problems { get; } = problems;

    /// <summary>Reads a garden file or throws with everything that is wrong with it.</summary>
    public static GardenFile Read(string path)
    {
        var (garden, problems) = GardenFileReader.Read(path);
        return garden ?? throw new GardenProblemException(problems);
    }
}
