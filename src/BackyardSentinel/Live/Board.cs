using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Watching;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// The season as it is judged, and what it raised that is not in the store yet. When the journal grows a new board takes the
/// place of the old one.
/// </summary>
internal sealed class Board
{
    public Board(
        IReadOnlyList<Site> sites,
        IEnumerable<SeriesMap> series,
        IReadOnlyList<JournalEntry>? journal,
        AlertPolicyOptions alerts,
        HashSet<string> knownEvents,
        DateTimeOffset? from,
        IReadOnlyCollection<DateTimeOffset> outages,
        bool keepAlmanac,
        ILogger log)
    {
        var almanacs = Almanacs = keepAlmanac ? new AlmanacKeeper(sites) : null;
        Season = new SeasonFeed(
            sites,
            fact =>
            {
                almanacs?.Note(fact);
                if (knownEvents.Add(fact.Key))
                    Unstored.Add(fact);
            },
            journal,
            outages,
            // What waits or is dropped is decided again, the same, by a rebuild.
            new AlertDesk(
                alerts,
                decision =>
                {
                    if (decision is Send send)
                        Unsent.Add(send.Alert);
                }),
            series.GroupBy(map => map.SiteId).ToDictionary(
                site => site.Key,
                IReadOnlyDictionary<string, Quantity> (site) => site.ToDictionary(map => map.Name, map => map.Quantity)),
            from,
            knownEvents.Contains,
            onInterval: almanacs is null ? null : almanacs.Note,
            onFault: (failure, at) =>
                log.Error(
                    failure,
                    at is { } sensed ? "What {Series} said at {Time:u} could not be judged." : "The garden could not be judged.",
                    at?.Series,
                    at?.Reading.Time));
    }

    /// <summary>The season.</summary>
    public SeasonFeed Season { get; }

    /// <summary>What the season was, for drawing and telling; <c>null</c>: nobody asks for it.</summary>
    public AlmanacKeeper? Almanacs { get; }

    /// <summary>Raised, not stored. A key that is known already never gets here, so nothing is announced twice.</summary>
    public List<SentinelEvent> Unstored { get; } = [];

    /// <summary>Alerts decided on, not stored.</summary>
    public List<Alert> Unsent { get; } = [];
}
