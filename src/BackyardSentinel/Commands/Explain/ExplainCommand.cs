using System.CommandLine;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Explain;

/// <summary>The command <c>explain</c>: why the level is what it is, now or at a time. It looks and changes nothing.</summary>
public static class ExplainCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var site = new Option<string?>("--site") { HelpName = "ID", Description = "Only this site" };
        var planting = new Option<string?>("--planting") { HelpName = "ID", Description = "Only this planting" };
        var at = new Option<string?>("--at")
        {
            HelpName = "TIME",
            Description = "A time that is past, such as 2027-04-12T06:30 in the site's local time, or with Z or an offset (default: now)",
        };
        var journal = new Option<string?>("--journal")
        {
            HelpName = "FILE",
            Description = "A journal file in place of the store's journal",
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var command = new Command("explain", "Why the level is what it is, now or at a time, with the readings used")
        {
            garden,
            site,
            planting,
            at,
            journal,
            json,
        };
        command.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return CommandRun.Guarded(error, () =>
            {
                var asked = new ExplainRequest(
                    GardenProblemException.Read(parsed.GetValue(garden)!),
                    parsed.GetValue(site),
                    parsed.GetValue(planting),
                    parsed.GetValue(at),
                    parsed.GetValue(journal));
                return Run(asked, time.GetUtcNow(), parsed.GetValue(json), output, error);
            });
        });
        return command;
    }

    private static int Run(ExplainRequest asked, DateTimeOffset now, bool asJson, TextWriter output, TextWriter error)
    {
        var garden = asked.Garden;
        var chosen = asked.Sites();
        var at = asked.Moment(chosen[0], now);
        if (!File.Exists(garden.Store.Path))
            throw new CommandProblemException(
                $"There is no store {garden.Store.Path} yet, so there is nothing to explain; "
                    + "start 'run' with this garden file and let the sensors speak.");
        List<string> findings = [];
        var journal = asked.Journal is { } file ? JournalFile.Read(file, chosen[0].Id, findings) : null;
        var season = StoredSeason.Load(garden, at, journal, findings, only: chosen.Count == 1 ? chosen[0].Id : null);
        List<(ExplainScene, IReadOnlyList<PlantingWatch>)> scenes = [];
        foreach (var site in chosen)
        {
            var watch = season.Watches[site.Id];
            if (watch.LastInterval is null)
                throw new CommandProblemException(NothingYet(garden, site, watch, season));
            scenes.Add(
                (
                    new ExplainScene([.. garden.SeriesOf(site.Id)], watch, season),
                    [.. watch.Plantings.Where(one => asked.Planting is null || one.Planting.Id == asked.Planting)]));
        }

        if (asJson)
        {
            ExplainJson.Write(scenes, at, output);
        }
        else
        {
            foreach (var (scene, plantings) in scenes)
                ExplainText.Write(scene, plantings, FoldingWriter.For(output));
        }

        foreach (var finding in findings)
            error.Write($"{finding}\n");
        return findings.Count > 0 ? ExitCode.Findings : ExitCode.Done;
    }

    private static string NothingYet(GardenFile garden, Site site, SiteWatch watch, StoredSeason season)
    {
        var at = season.At;
        if (watch.LastRefused.Count > 0)
            return $"Nothing of {site.Id} could be judged yet. "
                + $"{string.Join(' ', watch.LastRefused.Values.Select(refused => ExplainSensors.Sentence(refused, site)))}";
        var topics = garden.SeriesOf(site.Id).Select(one => one.Topic).ToHashSet(StringComparer.Ordinal);
        if (season.Refused.LastOrDefault(row => topics.Contains(row.Topic) && StoredTime.ToMoment(row.ReceivedUs) <= at) is { } message)
            return $"No reading of {site.Id} has been taken yet. "
                + $"A message came on {message.Topic} at {ExplainWords.Local(StoredTime.ToMoment(message.ReceivedUs), site.Zone)}, but: "
                + $"{RemarkLog.Ended(message.Reason.Text)} The command 'refused' lists all.";
        using var store = SentinelStore.Reading(garden.Store.Path);
        var series = SeriesMaps.InStore(store, garden.Series);
        foreach (var row in store.ReadSeason(JudgedSeasons.StartFor(garden, at)))
        {
            if (!series.TryGetValue(row.Series, out var map) || map.SiteId != site.Id)
                continue;
            var arrived = StoredTime.ToMoment(row.ReceivedUs);
            return arrived > at
                ? $"--at {ExplainWords.Local(at, site.Zone)} is before the first reading of {site.Id}, "
                    + $"which came on {ExplainWords.Local(arrived, site.Zone)}; choose a later time."
                : $"The first reading of {site.Id} has only just come, on {ExplainWords.Local(arrived, site.Zone)}; "
                    + "nothing is judged before its interval is over. Ask again in a quarter of an hour.";
        }

        var strangers = SeriesMaps.Strangers(store.SeriesNames.Values, garden.Series);
        // A site may have had another id.
        var others = garden.Sites.Where(one => one.Id != site.Id).Select(one => one.Id + "/").ToList();
        var former = strangers.Where(name => !others.Exists(other => name.StartsWith(other, StringComparison.Ordinal))).ToList();
        if (former.Count > 0)
            return $"The store {garden.Store.Path} has readings of {string.Join(", ", former)}, which the garden file does not have, and "
                + $"none of the series that it has of {site.Id}. Were topics or the site's id changed? See docs/store.md.";
        return $"The store {garden.Store.Path} has no reading of {site.Id} yet, so there is nothing to explain; "
            + "start 'run' with this garden file, and see whether the sensors' topics are those of its series.";
    }
}
