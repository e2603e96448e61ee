using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Live;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;
using BackyardSentinel.Web.Report;

namespace BackyardSentinel.Commands.Report;

/// <summary>A season of a garden and the moment as of which it is told.</summary>
/// <param name="Garden">The garden.</param>
/// <param name="At">Now, or the last minute of a season that is over, UTC.</param>
internal sealed record ReportSeason(GardenFile Garden, DateTimeOffset At)
{
    /// <summary>The season of that name.</summary>
    /// <param name="name">Such as <c>2026/27</c>; <c>null</c>: the one that runs.</param>
    /// <param name="garden">The garden.</param>
    /// <param name="now">Now, UTC.</param>
    /// <exception cref="CommandProblemException">There is no such season, or it has not begun.</exception>
    public static ReportSeason Named(string? name, GardenFile garden, DateTimeOffset now)
    {
        var site = garden.Sites[0];
        var running = YearFacts.SeasonOf(site, LocalDay.Of(now, site.Zone));
        if (name is null)
            return new ReportSeason(garden, now);
        if (
            name.Length != 7 || name[4] != '/'
            || !int.TryParse(name[..4], NumberStyles.None, CultureInfo.InvariantCulture, out var year)
            || year is < 2000 or > 9000)
            throw Unknown(name, running);
        var season = YearFacts.SeasonOf(site, new DateOnly(year, running.Start.Month, 1));
        if (YearStrip.SeasonText(season) != name)
            throw Unknown(name, running);
        if (season.Start > running.Start)
            throw new CommandProblemException(
                $"The season {name} has not begun; the one that runs is {YearStrip.SeasonText(running)}.");
        var end = LocalDay.StartOf(season.End, site.Zone);
        return new ReportSeason(garden, now < end ? now : end.AddMinutes(-1));
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
        var stored = StoredSeason.Load(Garden, At, null, findings, almanacs);
        var forecast = stored.Forecast is { } kept && !kept.IsStale(At) && !kept.IsAhead(At) ? kept : null;
        return [.. Garden.Sites.Select(site => new ReportFacts(stored.Watches[site.Id], almanacs, stored.Journal, forecast, At))];
    }

    private static CommandProblemException Unknown(string name, Season running) => new(
        $"\"{name}\" names no season; it is written like the one that runs, {YearStrip.SeasonText(running)}.");
}
