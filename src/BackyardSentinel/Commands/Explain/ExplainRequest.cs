using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Commands.Explain;

/// <summary>What is to be explained.</summary>
/// <param name="Garden">The garden.</param>
/// <param name="Site">Only this site; <c>null</c>: all.</param>
/// <param name="Planting">Only this planting; <c>null</c>: all.</param>
/// <param name="At">The time as written; <c>null</c>: now.</param>
/// <param name="Journal">A journal file in place of the store's journal.</param>
internal sealed record ExplainRequest(GardenFile Garden, string? Site, string? Planting, string? At, string? Journal)
{
    /// <summary>The sites that are meant, at least one.</summary>
    /// <exception cref="CommandProblemException">None is.</exception>
    public IReadOnlyList<Site> Sites()
    {
        var sites = Garden
            .Sites.Where(site =>
                (Site is null || site.Id == Site)
                && (Planting is null ? site.Plantings.Count > 0 : site.Plantings.Any(one => one.Id == Planting)))
            .ToList();
        if (sites.Count > 0)
            return sites;
        var names = string.Join(", ", Garden.Sites.SelectMany(site => site.Plantings.Select(one => $"{site.Id}/{one.Id}")));
        var wanted = (Site, Planting) switch
        {
            (null, null) => "planting",
            ({ } site, null) => $"planting at {site}",
            (null, { } planting) => $"planting {planting}",
            var (site, planting) => $"planting {site}/{planting}",
        };
        throw new CommandProblemException($"The garden file has no {wanted}; it has {(names.Length == 0 ? "none at all" : names)}.");
    }

    /// <summary>The moment that is meant, UTC.</summary>
    /// <param name="site">The site whose clock and units local times are written by.</param>
    /// <param name="now">The time now.</param>
    /// <exception cref="CommandProblemException">It is none, or to come.</exception>
    public DateTimeOffset Moment(Site site, DateTimeOffset now)
    {
        if (At is null)
            return now;
        var reader = new MomentText(site.Zone, site.Units);
        var read = reader.Read(At, out var skipped);
        if (skipped)
            throw new CommandProblemException($"--at: the clocks of {site.Zone.Id} skip {At}; choose a time before or after.");
        if (read is not { } moment)
            throw new CommandProblemException(
                $"--at: \"{At}\" is no time; write it like 2027-04-12T06:30 (local time of the site) or "
                    + $"2027-04-12T04:30:00Z{reader.Example}.");
        return moment <= now
            ? moment
            : throw new CommandProblemException(
                $"--at {ExplainWords.Local(moment, site.Zone)} is still to come; "
                    + "what has not happened cannot be explained. 'plan' looks ahead.");
    }
}
