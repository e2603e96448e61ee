using System.CommandLine;
using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Hosting;
using BackyardSentinel.Phenology;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Check;

/// <summary><c>check</c>: reads the garden file and says whether the service could run with it.</summary>
public static class CheckCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create()
    {
        var garden = CommandRun.Garden();
        Command command = new("check", "Check the garden file and show everything that is wrong with it") { garden };
        command.SetAction(result => Run(
            result.GetValue(garden)!,
            result.InvocationConfiguration.Output,
            result.InvocationConfiguration.Error));
        return command;
    }

    private static int Run(string path, TextWriter output, TextWriter error)
    {
        var (garden, problems) = GardenFileReader.Read(path);
        ProblemRenderer.Write(problems, error);
        if (garden is null)
        {
            var errors = problems.Count(p => !p.IsNote);
            error.Write($"{path} cannot be used: {Count(errors, "error")} to correct. Every key is explained in docs/garden-file.md.\n");
            return ExitCode.BadConfiguration;
        }

        if (AlertWiring.FaultOfWords(garden, out var gaps) is { } fault)
        {
            error.Write($"{fault}\n");
            return ExitCode.BadConfiguration;
        }

        if (WiringFaults.Of(garden) is { } unfit)
        {
            error.Write($"{unfit}\n");
            return ExitCode.BadConfiguration;
        }

        if (gaps is not null)
            WriteGaps(gaps, error);

        var series = garden.Series.Count;
        var plantings = garden.Sites.Sum(s => s.Plantings.Count);
        var broker = garden.Broker.Embedded ? "embedded broker on port" : $"broker {garden.Broker.Host}, port";
        output.Write(
            $"{path} is good: {Count(garden.Sites.Count, "site")}, {Count(series, "series", "series")}, {Count(plantings, "planting")}\n");
        var notes = problems.Count + (gaps?.Says.Count ?? 0);
        output.Write(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{broker} {garden.Broker.Port}, database {garden.Store.Path}{(notes > 0 ? $"; {Count(notes, "note")}" : "")}\n"));
        foreach (var site in garden.Sites)
        {
            foreach (var line in Needs(site))
                output.Write($"{line}\n");
        }

        return ExitCode.Done;
    }

    /// <summary>What a file of words lacks, as it can be pasted at its end.</summary>
    private static void WriteGaps(WordsGaps gaps, TextWriter error)
    {
        foreach (var says in gaps.Says)
            error.Write($"note: {says}\n");
        if (gaps.ToAdd.Length > 0)
            error.Write($"Add this at the end of {gaps.File}, in words of your own:\n\n{gaps.ToAdd}\n");
    }

    /// <summary>Which needs a planting is followed by and where they are from; and whether a usual year of the place meets them.</summary>
    internal static IEnumerable<Sentence> Needs(Site site)
    {
        var calendar = new SeasonCalendar(site.LatitudeDeg);
        var usual = site.Climate is { } climate ? new UsualHours(climate, site.Zone, site.LatitudeDeg, site.LongitudeDeg) : null;
        foreach (var planting in site.Plantings)
        {
            if (planting.Follows is not { } needs)
                continue;
            if (planting.ChillNeedIsUsual)
                yield return $"{Called(planting)}: no chill_need given; {needs.ChillNeed:0.#} chill portions are taken, "
                    + $"{PublishedChill.SourceOf(planting.Kind)}. Give the variety's own where you know it.";
            if (usual is not null && NeedsDoubt.Of(needs, calendar, site.Zone, usual) is { } doubt)
                yield return $"{Called(planting)}: {doubt}.";
        }

        if (usual is null && site.Plantings.Any(planting => planting.Follows is not null))
            yield return $"{new Name(site.Id)}: no climate_min and climate_max; where part of a winter is not measured, "
                + $"such a table of monthly temperatures, or one look at the buds, takes about three weeks off the guess of the bud stage.";

        Name Called(Planting planting) => new($"{site.Id}/{planting.Id}");
    }

    private static string Count(int number, string one, string? many = null) =>
        string.Create(CultureInfo.InvariantCulture, $"{number} {(number == 1 ? one : many ?? one + "s")}");
}
