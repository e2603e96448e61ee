using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;
using BackyardSentinel.Web.Report;

namespace BackyardSentinel.Commands.Report;

/// <summary>A season of a garden and, of each site, the moment as of which it is told.</summary>
/// <param name="Garden">The garden.</param>
/// <param name="At">
/// By site: now, or the last minute of a season that is over, UTC. Where there are sites north and south of the equator, one's season may
/// not have begun; it is not among them.
/// </param>
internal sealed record ReportSeason(GardenFile Garden, IReadOnlyDictionary<string, DateTimeOffset> At)
{
    /// <summary>The season of that name.</summary>
    /// <param name="name">Such as <c>2026/27</c>; <c>null</c>: the one that runs.</param>
    /// <param name="garden">The garden.</param>
    /// <param name="now">Now, UTC.</param>
    /// <exception cref="CommandProblemException">There is no such season, or it has not begun.</exception>
    public static ReportSeason Named(string? name, GardenFile garden, DateTimeOffset now)
    {
        if (name is null)
            return new ReportSeason(garden, garden.Sites.ToDictionary(site => site.Id, _ => now));
        var first = Running(garden.Sites[0]);
        if (
            name.Length != 7 || name[4] != '/'
            || !int.TryParse(name[..4], NumberStyles.None, CultureInfo.InvariantCulture, out var year)
            || year is < 2000 or > 9000)
            throw Unknown(name, first);
        Dictionary<string, DateTimeOffset> at = [];
        foreach (var site in garden.Sites)
        {
            var running = Running(site);
            var season = YearFacts.SeasonOf(site, new DateOnly(year, running.Start.Month, 1));
            if (YearStrip.SeasonText(season) != name)
                throw Unknown(name, first);
            var end = LocalDay.StartOf(season.End, site.Zone);
            if (season.Start <= running.Start)
                at.Add(site.Id, now < end ? now : end.AddMinutes(-1));
        }

        return at.Count > 0
            ? new ReportSeason(garden, at)
            : throw new CommandProblemException(
                $"The season {name} has not begun; the one that runs is {YearStrip.SeasonText(first)}.");

        Season Running(Site site) => YearFacts.SeasonOf(site, LocalDay.Of(now, site.Zone));
    }

    /// <summary>Feeds the season from the store and gathers what is to be told.</summary>
    /// <param name="findings">Gets a sentence for whatever is left out.</param>
    /// <exception cref="CommandProblemException">There is nothing to tell.</exception>
    public IReadOnlyList<ReportFacts> Facts(ICollection<string> findings)
    {
        if (!File.Exists(Garden.Store.Path))
            throw new CommandProblemException(
                $"There is no store {Garden.Store.Path} yet, so there is no season to tell of; start 'run' with this garden file, "
                    + "or see the demo's report: report --demo.");
        var almanacs = new AlmanacKeeper(Garden.Sites);
        // Of one moment all sites are read at once.
        var together = At.Count == Garden.Sites.Count && At.Values.Distinct().Count() == 1 ? Load(null) : null;
        foreach (var site in Garden.Sites.Where(site => !At.ContainsKey(site.Id)))
            findings.Add($"{site.Id}: this season has not begun there, so it is not in the report.");
        return
        [
            .. from site in Garden.Sites
               where At.ContainsKey(site.Id)
               let stored = together ?? Load(site)
               let forecast = stored.Forecast is { } kept && !kept.IsStale(stored.At) && !kept.IsAhead(stored.At) ? kept : null
               select new ReportFacts(stored.Watches[site.Id], almanacs, stored.Journal, forecast, stored.At),
        ];

        StoredSeason Load(Site? only)
        {
            List<string> found = [];
            var stored = StoredSeason.Load(Garden, only is null ? At.Values.First() : At[only.Id], null, found, almanacs, only?.Id);
            foreach (var finding in found.Where(finding => !findings.Contains(finding)))
                findings.Add(finding);
            return stored;
        }
    }

    private static CommandProblemException Unknown(string name, Season running) => new(
        $"\"{name}\" names no season; it is written like the one that runs, {YearStrip.SeasonText(running)}.");
}
