using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>Puts the alerts that nobody was told yet into words, as things are now, and into rows for their receivers.</summary>
/// <param name="outbox">Where alerts go.</param>
/// <param name="known">The ids of all that was told before.</param>
internal sealed class NewAlerts(AlertOutbox outbox, HashSet<string> known)
{
    /// <summary>A level that has fallen so long ago is not told any more (assumed).</summary>
    private static readonly TimeSpan LongAgo = TimeSpan.FromHours(12);

    /// <summary>Tells what was decided.</summary>
    /// <param name="decided">Alerts decided on.</param>
    /// <param name="watches">The watches by site id.</param>
    /// <param name="now">Now.</param>
    /// <param name="rows">Gets the rows to store.</param>
    /// <returns>The messages to hand on once the rows are stored.</returns>
    public IReadOnlyList<AlertMessage> Tell(
        IEnumerable<Alert> decided, IReadOnlyDictionary<string, SiteWatch> watches, DateTimeOffset now, List<OutboxRow> rows)
    {
        List<AlertMessage> messages = [];
        foreach (var alert in decided)
        {
            if (alert.Untold(known) is not { } untold)
                continue;
            var news = untold with { Occasions = [.. untold.Occasions.Select(occasion => AsItIsNow(occasion, watches))] };
            known.Add(news.Id);
            known.UnionWith(news.Tells);
            var message = outbox.Say(news);
            var its = outbox.Rows(message, now, LongOver(news, now)).ToList();
            rows.AddRange(its);
            // What reaches nobody any more is not told as a message either.
            if (its.Count == 0 || its.Exists(row => row.State == OutboxState.Waiting))
                messages.Add(message);
        }

        return messages;
    }

    /// <summary>
    /// A level that became known late, as from what waited at a broker, and has long fallen again is no news: its window
    /// stands in the store, and its looks and cover are told by themselves.
    /// </summary>
    private static string? LongOver(Alert alert, DateTimeOffset now) =>
        alert.Occasions.All(occasion => occasion is LevelRisen { FellAt: { } fell } && now - fell > LongAgo)
            ? "the level had long fallen again when it became known"
            : null;

    /// <summary>A level that has fallen by the time it is told is told as past.</summary>
    private static Occasion AsItIsNow(Occasion occasion, IReadOnlyDictionary<string, SiteWatch> watches) =>
        occasion is LevelRisen risen
        && watches.TryGetValue(risen.Site!, out var watch)
        && watch.Risks.FirstOrDefault(risk => risk.Planting == risen.Planting) is { Level: not Level.Unknown, Since: { } since } risk
        && risk.Level < risen.To
            ? risen with
            {
                FellAt = since,
            }
            : occasion;
}
