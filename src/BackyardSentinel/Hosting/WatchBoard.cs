using BackyardSentinel.Events;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>The watches of all sites and the events they raised that are not in the store yet.</summary>
internal sealed class WatchBoard
{
    private readonly Dictionary<string, SiteWatch> _watches = new(StringComparer.Ordinal);
    private readonly HashSet<string> _known;
    private readonly ILogger _log;

    public WatchBoard(IReadOnlyList<Site> sites, HashSet<string> knownEvents, ILogger log)
    {
        (_known, _log) = (knownEvents, log);
        foreach (var site in sites) _watches.Add(site.Id, new SiteWatch(site, Raise));
    }

    public IReadOnlyDictionary<string, SiteWatch> Watches => _watches;

    /// <summary>Raised, not stored. A key that is known already never gets here, so nothing is announced twice.</summary>
    public List<SentinelEvent> Unstored { get; } = [];

    public void Accept(string site, in Reading reading, DateTimeOffset receivedAt)
    {
        if (!_watches.TryGetValue(site, out var watch)) return;
        try
        {
            watch.Accept(reading, receivedAt);
        }
#pragma warning disable CA1031 // a fault in judging one reading must not stop the others; a rebuild meets the same one
        catch (Exception failure)
#pragma warning restore CA1031
        {
            _log.Error(failure, "A reading of {Site} at {Time:u} could not be judged.", site, reading.Time);
        }
    }

    public void AdvanceTo(DateTimeOffset minute)
    {
        foreach (var (site, watch) in _watches)
        {
            try
            {
                watch.AdvanceTo(minute);
            }
#pragma warning disable CA1031 // as above
            catch (Exception failure)
#pragma warning restore CA1031
            {
                _log.Error(failure, "Site {Site} could not be judged up to {Minute:u}.", site, minute);
            }
        }
    }

    /// <summary>Feeds the stored season through the watches, in the order in which it arrived.</summary>
    public long Rebuild(IEnumerable<StoredReading> season, IReadOnlyDictionary<int, Ingest.SeriesMap> series)
    {
        long count = 0;
        foreach (var row in season)
        {
            if (!series.TryGetValue(row.Series, out var map)) continue;
            var reading = new Reading(map.Quantity, DateTimeOffset.FromUnixTimeMilliseconds(row.TimeMs), row.Value, default, map.Rank);
            Accept(map.SiteId, reading, Stamps.ToMoment(row.ReceivedUs));
            count++;
        }

        return count;
    }

    private void Raise(SentinelEvent fact)
    {
        if (_known.Add(fact.Key)) Unstored.Add(fact);
    }
}
