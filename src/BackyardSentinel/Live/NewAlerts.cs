using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>Puts the alerts that nobody was told yet into words, as things are now, and into rows for their receivers.</summary>
/// <param name="outbox">Where alerts go.</param>
/// <param name="known">The ids of all that was told before.</param>
public sealed class NewAlerts(AlertOutbox outbox, HashSet<string> known)
{
    // Their alerts were over before anybody could get them.
    private readonly HashSet<string> _missed = new(StringComparer.Ordinal);

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
            var its = outbox.Rows(message, now, WhyOver(news, now)).ToList();
            rows.AddRange(its);
            // What reaches nobody any more is not told as a message either.
            if (its.Count == 0 || its.Exists(row => row.State == OutboxState.Waiting))
                messages.Add(message);
            else
                _missed.UnionWith(news.Occasions.Select(occasion => occasion.Episode));
        }

        return messages;
    }

    private string? WhyOver(Alert news, DateTimeOffset now) =>
        news.IsLongOver(now) ? "the level had long fallen again when it became known"
        : news.Occasions.All(occasion => occasion is SensorBack or SensorsBack && _missed.Contains(occasion.Episode))
            ? "nobody had been told of the silence that it ends"
        : null;

    private static Occasion AsItIsNow(Occasion occasion, IReadOnlyDictionary<string, SiteWatch> watches) =>
        occasion is LevelRisen risen && watches.TryGetValue(risen.Site!, out var watch)
            ? risen.AsOf(watch.Risks.FirstOrDefault(risk => risk.Planting == risen.Planting))
            : occasion;
}
