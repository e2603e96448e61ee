using System.CommandLine;
using System.Globalization;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Hosting;
using BackyardSentinel.Logs;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Storage;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Commands;

/// <summary>What commands share: common options, and how one ends that cannot do what was asked.</summary>
internal static class CommandRun
{
    /// <summary>The garden file of the service that a package installs.</summary>
    public const string InstalledGarden = "/etc/backyard-sentinel/garden.yaml";

    private const string UsualGarden = "config/garden.yaml";

    /// <summary>
    /// The option <c>--garden</c>. Without it the file in the working folder is meant, and where there is none, the installed
    /// service's.
    /// </summary>
    public static Option<string> Garden() =>
        new("--garden")
        {
            HelpName = "FILE",
            Description = "The garden file",
            DefaultValueFactory = _ => !File.Exists(UsualGarden) && File.Exists(InstalledGarden) ? InstalledGarden : UsualGarden,
        };

    /// <summary>An option that takes a whole number.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="helpName">What the help calls its value.</param>
    /// <param name="description">What it does.</param>
    /// <param name="least">The least number taken.</param>
    /// <param name="most">The greatest number taken.</param>
    /// <param name="usual">The number where none is given.</param>
    public static Option<int> Number(string name, string helpName, string description, int least, int most, int usual) =>
        new(name)
        {
            HelpName = helpName,
            Description = description,
            DefaultValueFactory = _ => usual,
            CustomParser = result =>
            {
                var text = result.Tokens[0].Value;
                if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
                    && number >= least
                    && number <= most)
                    return number;
                result.AddError($"{name}: \"{text}\" is not a number from {least} to {most}.");
                return usual;
            },
        };

    /// <summary>Does what was asked; what is known to go wrong is told in its own words, and gives the exit code.</summary>
    /// <param name="error">Where to tell it.</param>
    /// <param name="action">What was asked; gives the exit code.</param>
    public static int Guarded(TextWriter error, Func<int> action)
    {
        try
        {
            return action();
        }
        catch (Exception problem) when (IsKnown(problem))
        {
            return Tell(problem, error);
        }
    }

    /// <inheritdoc cref="Guarded"/>
    public static async Task<int> GuardedAsync(TextWriter error, Func<Task<int>> action)
    {
        try
        {
            return await action().ConfigureAwait(false);
        }
        catch (Exception problem) when (IsKnown(problem))
        {
            return Tell(problem, error);
        }
    }

    /// <summary>It tells in its own words what went wrong.</summary>
    public static bool IsKnown(Exception problem) =>
        problem
            is GardenProblemException
                or WiringProblemException
                or StoreException
                or SqliteException
                or LinkException
                or LogProblemException
                or CommandProblemException;

    private static int Tell(Exception problem, TextWriter error)
    {
        if (problem is GardenProblemException garden)
            ProblemRenderer.Write(garden.Problems, error);
        else
            error.WriteLine(problem is SqliteException database ? StoreRefusal.Of(null, database).Message : problem.Message);
        // Whoever starts the program again when it fails should not do so where that mends nothing. A store that breaks while it is used
        // is saved by the next start.
        return problem is GardenProblemException or WiringProblemException or StoreException { IsLasting: true }
            ? ExitCode.BadConfiguration
            : ExitCode.BadInput;
    }
}
