using BackyardSentinel.Configuration;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Journal;

/// <summary>Where and when an entry belongs.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day.</param>
public sealed record JournalPlace(string Site, string Planting, DateOnly On)
{
    /// <summary>Finds the planting that is meant.</summary>
    /// <exception cref="CommandProblemException">None or several are, or the day is none.</exception>
    public static JournalPlace Find(GardenFile garden, string? site, string? planting, string? on, DateTimeOffset now)
    {
        var all = garden.Sites.SelectMany(one => one.Plantings.Select(tree => (Site: one, Planting: tree.Id))).ToList();
        var fitting = all.Where(one => (site is null || one.Site.Id == site) && (planting is null || one.Planting == planting)).ToList();
        var names = string.Join(", ", all.Select(one => $"{one.Site.Id}/{one.Planting}"));
        if (site is not null && all.TrueForAll(one => one.Site.Id != site))
            throw new CommandProblemException(
                $"The garden file has no site {site} with a planting; it has {(all.Count == 0 ? "none" : names)}.");
        if (fitting.Count == 0)
            throw new CommandProblemException(
                $"The garden file has no planting {planting ?? site}; it has {(all.Count == 0 ? "none" : names)}.");
        if (fitting.Count > 1)
            throw new CommandProblemException(
                $"Several plantings could be meant ({names}); say which with --planting{(planting is null ? "" : " and --site")}.");
        var (found, id) = fitting[0];
        if (on is null)
            return new JournalPlace(found.Id, id, LocalDay.Of(now, found.Zone));
        return JournalAmounts.Day(on, garden.Units, out var fault) is { } day
            ? new JournalPlace(found.Id, id, day)
            : throw new CommandProblemException($"--on: {fault}");
    }
}
