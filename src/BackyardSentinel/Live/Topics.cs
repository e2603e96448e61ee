using BackyardSentinel.Contract;
using BackyardSentinel.Mqtt;

namespace BackyardSentinel.Live;

/// <summary>Publishes what the watches say now: the retained topics of weather and of each planting's risk.</summary>
/// <param name="root">First part of the topics.</param>
/// <param name="publish">Takes retained messages; must not wait.</param>
/// <param name="onPublished">Told the watches after each publication.</param>
internal sealed class Topics(string root, Action<OutgoingMessage> publish, Action<IEnumerable<SiteWatch>>? onPublished)
{
    private readonly Dictionary<string, long> _intervals = new(StringComparer.Ordinal);

    /// <summary>Nothing has been published since the start, or since the clock was set back.</summary>
    public bool AreEmpty => _intervals.Count == 0;

    /// <summary>The clock was set back: what was published is no judgement of now.</summary>
    public void Forget() => _intervals.Clear();

    /// <summary>Publishes what has changed.</summary>
    /// <param name="watches">The watches.</param>
    /// <param name="all">Also of sites for which no interval has been judged since the last time.</param>
    public void Publish(IReadOnlyDictionary<string, SiteWatch> watches, bool all)
    {
        var any = false;
        foreach (var (id, watch) in watches)
        {
            if (!all && _intervals.TryGetValue(id, out var published) && published == watch.IntervalsJudged)
                continue;
            _intervals[id] = watch.IntervalsJudged;
            any = true;
            Publish(id, watch);
        }

        if (any)
            onPublished?.Invoke(watches.Values);
    }

    private void Publish(string id, SiteWatch watch)
    {
        // Three steps without an update and the broker drops it: a dead service must not keep saying "clear".
        var expiry = (uint)Math.Max(900, 3 * watch.Site.Step.TotalSeconds);
        foreach (var planting in watch.Site.Plantings)
            publish(new OutgoingMessage($"{root}/{id}/{planting.Id}/risk", TopicJson.Risk(watch, planting), expiry));
        if (TopicJson.Weather(watch) is { } weather)
            publish(new OutgoingMessage($"{root}/{id}/weather", weather, expiry));
    }
}
