using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

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

    /// <summary>Names of series that the store has readings of and the garden file does not have: what they say does not count.</summary>
    /// <param name="names">The store's series.</param>
    /// <param name="maps">The garden file's.</param>
    public static IReadOnlyList<string> Strangers(IEnumerable<string> names, IEnumerable<SeriesMap> maps) =>
        [.. names.Except(maps.Select(map => map.Name), StringComparer.Ordinal).Order(StringComparer.Ordinal)];

    /// <summary>Their stored readings, in the order of their own times, as a season is fed with them.</summary>
    /// <param name="store">The store.</param>
    /// <param name="series">The series by number; what lies between them of others is passed over.</param>
    /// <param name="from">Readings of a time before are left out.</param>
    public static IEnumerable<SensedReading> Season(
        SentinelStore store,
        IReadOnlyDictionary<int, SeriesMap> series,
        DateTimeOffset? from = null)
    {
        Dictionary<int, SeriesMap> maps = new(series); // Asked for millions of times, and not through an interface.
        return store.ReadSeason<SensedReading>(
            (in row, out sensed) =>
            {
                var isKnown = maps.TryGetValue(row.Series, out var map);
                sensed = isKnown ? Sensed(map!, row) : default;
                return isKnown;
            },
            from,
            maps.Keys);
    }

    /// <summary>A stored reading as a season is fed with it.</summary>
    /// <param name="map">Its series.</param>
    /// <param name="row">The row.</param>
    public static SensedReading Sensed(SeriesMap map, in StoredReading row)
    {
        ArgumentNullException.ThrowIfNull(map);
        return map.Sensed(
            new Reading(map.Quantity, DateTimeOffset.FromUnixTimeMilliseconds(row.TimeMs), row.Value, default, map.Rank),
            StoredTime.ToMoment(row.ReceivedUs));
    }
}
