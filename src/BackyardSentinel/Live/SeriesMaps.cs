using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>The series of a garden in its store.</summary>
public static class SeriesMaps
{
    /// <summary>Those of the series that the store has readings of, by their number there.</summary>
    public static IReadOnlyDictionary<int, SeriesMap> InStore(SentinelStore store, IEnumerable<SeriesMap> maps)
    {
        var byName = maps.ToDictionary(map => map.Name, StringComparer.Ordinal);
        return store.SeriesNames.Where(pair => byName.ContainsKey(pair.Value)).ToDictionary(pair => pair.Key, pair => byName[pair.Value]);
    }
}
