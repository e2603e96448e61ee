using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Commands.Replay;

/// <summary>The site a log is judged with: a garden file's, or a plain one; options of the command come last.</summary>
public static class ReplaySite
{
    /// <summary>Builds the site.</summary>
    /// <exception cref="LogProblemException">An option cannot be understood.</exception>
    /// <exception cref="GardenProblemException">The garden file cannot be used.</exception>
    public static Site Build(
        string? gardenFile,
        string? id,
        TimeSpan? step,
        string? zone,
        string? stage,
        double? wetThreshold,
        double? latitude = null)
    {
        var site = gardenFile is null
            ? new Site { Id = id ?? "log", Plantings = [new Planting("planting")] }
            : FromGarden(gardenFile, id);
        if (step is { } length)
            site = site with { Step = Step(length) };
        if (zone is not null)
            site = site with { Zone = Zone(zone) };
        if (wetThreshold is { } odd && !double.IsFinite(odd))
            throw new LogProblemException("--wet-on: the value must be a number, such as 50.");
        if (wetThreshold is { } limit)
            site = site with { LeafWetOn = limit, LeafWetOff = limit, LeafWetInverted = false, LeafWetIsShare = false };
        if (latitude is { } degrees)
            site = site with { LatitudeDeg = degrees };
        if ((stage ?? (gardenFile is null && latitude is not null ? "followed" : null)) is { } word)
            site = site with { Plantings = [.. site.Plantings.Select(planting => WithStage(planting, word))] };
        return site;
    }

    /// <summary>A site that was built without a garden file takes the plantings that the journal tells of.</summary>
    public static Site WithPlantingsOf(Site site, IReadOnlyList<JournalEntry> journal)
    {
        var names = journal.Select(entry => entry.Planting).Distinct().Order(StringComparer.Ordinal).ToList();
        return names.Count == 0 ? site : site with { Plantings = [.. names.Select(name => site.Plantings[0] with { Id = name })] };
    }

    private static Planting WithStage(Planting planting, string word)
    {
        if (word == "followed")
            return planting with { Stage = null, Follows = planting.Follows ?? StageNeeds.Default };
        return planting with { Stage = Stage(word), Follows = null };
    }

    private static Site FromGarden(string path, string? id)
    {
        var garden = GardenProblemException.Read(path);
        var sites = garden.Sites;
        var names = string.Join(", ", sites.Select(site => site.Id));
        if (id is null && sites.Count > 1)
            throw new LogProblemException($"{path} has {sites.Count} sites ({names}); say which with --site.");
        return sites.FirstOrDefault(site => id is null || site.Id == id)
            ?? throw new LogProblemException($"{path} has no site \"{id}\"; it has {names}.");
    }

    private static TimeSpan Step(TimeSpan step) =>
        step.TotalMinutes is 5 or 10 or 15 or 20 or 30 or 60
            ? step
            : throw new LogProblemException(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"--step: an interval is 5m, 10m, 15m, 20m, 30m or 60m long, not {step.TotalMinutes:0.##} minutes."));

    private static TimeZoneInfo Zone(string id) => TimeZoneInfo.TryFindSystemTimeZoneById(id, out var zone)
        ? zone
        : throw new LogProblemException($"--zone: \"{id}\" is not a time zone known here; use an IANA name such as Europe/Madrid.");

    private static int? Stage(string text)
    {
        if (text == "always")
            return null;
        return int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var code) && code <= 97
            ? code
            : throw new LogProblemException($"--stage: \"{text}\" is neither \"always\" nor \"followed\" nor a BBCH code from 0 to 97.");
    }
}
