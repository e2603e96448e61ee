using System.Text;
using BackyardSentinel.Configuration;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Commands;

/// <summary>Keeps a slip of the pen from putting what a command writes in the place of something else.</summary>
internal static class WrittenFile
{
    /// <summary>What a command writes anew each time takes the place only of what begins as it does.</summary>
    /// <param name="option">The option that names the file.</param>
    /// <param name="path">The file.</param>
    /// <param name="beginning">How such a file begins.</param>
    /// <param name="what">What it is, such as <c>calendar</c>.</param>
    /// <exception cref="CommandProblemException">Something else is there.</exception>
    public static void ReplacesItsLike(string option, string path, string beginning, string what)
    {
        if (!File.Exists(path) || OrdinaryFile.HasNoLength(path) || OrdinaryFile.BeginsWith(path, Encoding.UTF8.GetBytes(beginning)))
            return;
        throw new CommandProblemException(
            $"{option}: {path} is there already and is no {what}; nothing was written. Name another file.");
    }

    /// <summary>The garden file and what belongs to its store are never replaced.</summary>
    /// <param name="option">The option that names the file.</param>
    /// <param name="path">The file.</param>
    /// <param name="garden">The garden.</param>
    /// <param name="gardenPath">Its file.</param>
    /// <exception cref="CommandProblemException">It is one of these.</exception>
    public static void KeepsOff(string option, string path, GardenFile garden, string gardenPath)
    {
        if (Names(path).Any(name =>
            Names(gardenPath).Contains(name)
            || Names(garden.Store.Path).Any(store => name.StartsWith(store, StringComparison.Ordinal))))
            throw new CommandProblemException($"{option}: {path} is the garden file, or belongs to the store; name another file.");
    }

    /// <summary>Two paths lead to one file.</summary>
    public static bool AreOne(string one, string other) => Names(one).Intersect(Names(other)).Any();

    /// <summary>A file's own name, and that of the file that a link leads to.</summary>
    private static string[] Names(string path) => [Path.GetFullPath(path), Path.GetFullPath(OrdinaryFile.Target(path))];
}
