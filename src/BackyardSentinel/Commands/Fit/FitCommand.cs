using System.CommandLine;
using System.Globalization;
using BackyardSentinel.Commands.Journal;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Phenology;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Fit;

/// <summary>The command <c>fit</c>: a planting's heat needs from the years in which the grower wrote down a stage.</summary>
public static class FitCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var site = new Option<string?>("--site")
        {
            HelpName = "ID",
            Description = "The site; needed where several have a planting of this name",
        };
        var planting = new Option<string?>("--planting") { HelpName = "ID", Description = "The planting; needed where there are several" };
        var stage = new Option<int>("--stage")
        {
            HelpName = "CODE",
            Description = "BBCH code of the stage to fit to",
            DefaultValueFactory = _ => 65,
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var command = new Command("fit", "Fit a planting's heat needs to the stages you wrote down in two years or more")
        {
            garden,
            site,
            planting,
            stage,
            json,
        };
        command.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return CommandRun.Guarded(error, () =>
            {
                var file = GardenProblemException.Read(parsed.GetValue(garden)!);
                var place = JournalPlace.Find(file, parsed.GetValue(site), parsed.GetValue(planting), null, time.GetUtcNow());
                return Run(file, place, parsed.GetValue(stage), parsed.GetValue(json), output, error);
            });
        });
        return command;
    }

    private static int Run(GardenFile garden, JournalPlace place, int code, bool asJson, TextWriter output, TextWriter error)
    {
        if (!BudStage.TryFrom(code, out var stage))
            throw new CommandProblemException(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"--stage: stone fruit has no BBCH code {code}; 65 is full bloom, 51 and 1 are the swelling of flower and leaf buds."));
        var site = garden.Sites.Single(one => one.Id == place.Site);
        if (site.Plantings.Single(one => one.Id == place.Planting).Follows is not { } needs)
            throw new CommandProblemException(
                $"{place.Planting} has a stage that is not followed; write 'stage: followed' in the garden file first.");
        if (!needs.Stages.Any(need => need.LeafBud == stage || need.FlowerBud == stage))
        {
            var codes = needs.Stages
                .SelectMany(need => new[] { need.LeafBud, need.FlowerBud })
                .OfType<BudStage>()
                .Select(one => one.Code)
                .Order()
                .Select(code => code.ToString("00", CultureInfo.InvariantCulture));
            throw new CommandProblemException($"--stage: the needs have no stage {stage}; choose one of {string.Join(", ", codes)}.");
        }

        if (!File.Exists(garden.Store.Path))
            throw new CommandProblemException(
                $"There is no store {garden.Store.Path} yet; a heat need takes the temperatures and the journal of two years at least.");

        var calendar = new SeasonCalendar(site.LatitudeDeg);
        List<string> findings = [];
        var seen = Seen(garden, site, place, stage, calendar, findings);
        foreach (var finding in findings)
            error.Write($"{finding}\n");
        var hours = StoredHours.Of(garden, site);
        var present = needs.Stages.First(need => need.LeafBud == stage || need.FlowerBud == stage).DegreeHours;
        if (
            !HeatNeedFit.TryFit(
                needs.Chill,
                needs.ChillNeed,
                needs.Heat,
                present,
                calendar,
                site.Zone,
                [.. seen.Select(day => new FitSeason(day, hours))],
                out var fit,
                out var reason
            ) || !needs.TryStretch(needs.ChillNeed, stage, fit.HeatNeed, out var stretched, out reason))
        {
            throw new CommandProblemException($"{place.Planting}, stage {stage}: {reason}");
        }

        if (asJson)
            FitJson.Write(place, stage, seen, fit, stretched, present, output);
        else
            FitText.Write(place.Planting, stage, seen, fit, stretched, present, output);
        return findings.Count > 0 || fit.SetAside.Count > 0 || !fit.IsBetter ? ExitCode.Findings : ExitCode.Done;
    }

    /// <summary>The first day of each season on which the stage was written down.</summary>
    private static List<DateOnly> Seen(
        GardenFile garden,
        Site site,
        JournalPlace place,
        BudStage stage,
        SeasonCalendar calendar,
        List<string> findings)
    {
        using var book = JournalBook.Reading(garden.Store.Path);
        return
        [
            .. StoredSeason.Sound([site], JournalRow.Standing(book.Rows()), findings).OfType<StageEntry>()
                .Where(entry => entry.Planting == place.Planting && entry.Code == stage.Code)
                .GroupBy(entry => calendar.SeasonOf(entry.On)?.Year ?? entry.On.Year)
                .Select(year => year.Min(entry => entry.On)).Order(),
        ];
    }
}
