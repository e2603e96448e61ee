using System.CommandLine;
using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Hosting;

namespace BackyardSentinel.Commands;

/// <summary><c>check</c>: reads the garden file and says whether the service could run with it.</summary>
public static class CheckCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create()
    {
        Option<string> garden = new("--garden")
        {
            Description = "The garden file",
            HelpName = "FILE",
            DefaultValueFactory = _ => "config/garden.yaml",
        };
        Command command = new("check", "Check the garden file and show everything that is wrong with it") { garden };
        command.SetAction(result => Run(
            result.GetValue(garden)!,
            result.InvocationConfiguration.Output,
            result.InvocationConfiguration.Error));
        return command;
    }

    private static int Run(string path, TextWriter output, TextWriter error)
    {
        if (path.Length == 0)
            path = ".";
        var (garden, problems) = GardenFileReader.Read(path);
        ProblemRenderer.Write(problems, error);
        if (garden is null)
        {
            var errors = problems.Count(p => !p.IsNote);
            error.Write($"{path} cannot be used: {Count(errors, "error")} to correct. Every key is explained in docs/garden-file.md.\n");
            return ExitCode.BadConfiguration;
        }

        if (AlertWiring.FaultOfWords(garden) is { } fault)
        {
            error.Write($"{fault}\n");
            return ExitCode.BadConfiguration;
        }

        var series = garden.Sites.Sum(s => s.Series.Count);
        var plantings = garden.Sites.Sum(s => s.Plantings.Count);
        var broker = garden.Broker.Embedded ? "embedded broker on port" : $"broker {garden.Broker.Host}, port";
        output.Write($"{path} is good: {Count(garden.Sites.Count, "site")}, {Count(series, "series", "series")}, {Count(plantings, "planting")}\n");
        output.Write(string.Create(CultureInfo.InvariantCulture, $"{broker} {garden.Broker.Port}, database {garden.Store.Path}; {Count(problems.Count, "note")}\n"));
        return ExitCode.Done;
    }

    private static string Count(int number, string one, string? many = null) =>
        string.Create(CultureInfo.InvariantCulture, $"{number} {(number == 1 ? one : many ?? one + "s")}");
}
