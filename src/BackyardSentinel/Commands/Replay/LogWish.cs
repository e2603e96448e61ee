using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Hosting;
using BackyardSentinel.Logs;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Logs that are to be judged, and the site that judges them.</summary>
/// <param name="Source">What is read.</param>
/// <param name="Garden">The garden file, if one was named.</param>
/// <param name="Site">The site.</param>
/// <param name="Options">How rows are read, and from when to when.</param>
/// <param name="Journal">The journal's sound entries; <c>null</c>: none is kept.</param>
/// <param name="Findings">What is wrong with the journal, a sentence each.</param>
/// <param name="Notes">What was left out of folders, a sentence each.</param>
internal sealed record LogWish(
    ReplaySource Source,
    GardenFile? Garden,
    Site Site,
    LogOptions Options,
    IReadOnlyList<JournalEntry>? Journal,
    IReadOnlyList<string> Findings,
    IReadOnlyList<string> Notes)
{
    /// <summary>Judges the logs as they are asked for, with what the phone would have had.</summary>
    public ReplayResult Judge() => Judge(Site, Journal, Alerts, Ahead);

    /// <summary>Judges the logs.</summary>
    /// <param name="site">The site, as it is or otherwise.</param>
    /// <param name="journal">The journal, as it is or otherwise.</param>
    /// <param name="alerts">How much the phone would have been asked to bear; <c>null</c>: there is no phone.</param>
    /// <param name="ahead">What lies ahead and may deserve a message; <c>null</c>: nobody looks.</param>
    /// <param name="onInterval">Told when an interval has been judged; <c>null</c>: nobody keeps them.</param>
    public ReplayResult Judge(
        Site site,
        IReadOnlyList<JournalEntry>? journal,
        AlertPolicyOptions? alerts = null,
        Func<SiteWatch, DateTimeOffset, IEnumerable<Occasion>>? ahead = null,
        Action<SiteWatch>? onInterval = null)
    {
        if (Source.Kind == LogKind.Table)
        {
            using var progress = ProgressBar.For(Source.Paths);
            return Replay.Run(site, Source.Paths, Options, progress.Show, journal, alerts, ahead, onInterval);
        }

        using var log = Source.Open(Garden, site, Options);
        return Replay.Run(Garden is null ? ReplaySource.Fitted(site, log) : site, log, journal, alerts, ahead, onInterval);
    }

    /// <summary>A plain log judged as always open would call the phone all year; there is none then.</summary>
    public AlertPolicyOptions? Alerts => Garden is not null
        ? AlertWiring.PolicyOf(Garden)
        : Site.Plantings.Any(planting => planting.Follows is not null) ? new AlertPolicyOptions { Zone = Site.Zone } : null;

    /// <summary>
    /// The sprays' deadlines, which the garden file's products and journal tell; forecasts of the past are not at hand, so slots are
    /// not.
    /// </summary>
    public Func<SiteWatch, DateTimeOffset, IEnumerable<Occasion>>? Ahead => Garden is null
        ? null
        // Trees that are all in leaf have no spray due: the sums need not be sent ahead.
        : (watch, at) => watch.Plantings.All(planting => planting.Stage.Code is { } code && SprayStage.InLeaf(code))
            ? []
            : SprayOccasions.Of(SitePlan.Of(watch, Journal ?? [], null, at), watch.Site);

    /// <summary>The garden's own words and names; read before the logs are, so that what is wrong with them is told at once.</summary>
    public Func<Alert, AlertText>? Words()
    {
        if (Garden is null)
            return null;
        var (words, names) = (AlertWiring.WordsOf(Garden), AlertWiring.NamesOf(Garden));
        return alert => words.Say(alert, _ => Site.Zone, names);
    }
}
