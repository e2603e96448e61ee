using BackyardSentinel.Configuration;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>Which topic and path of a garden file gives which series.</summary>
public static class SeriesMaps
{
    /// <summary>The series of all sites; within a site and quantity the first in the file is preferred.</summary>
    public static IReadOnlyList<SeriesMap> Of(GardenFile garden) =>
        [
            .. garden.Sites.SelectMany(site =>
                site.Series.Select(series => new SeriesMap
                {
                    SiteId = site.Id,
                    Label = series.Name,
                    Quantity = series.Quantity,
                    Topic = series.Topic,
                    Path = series.Path,
                    TimePath = series.TimePath,
                    Scale = series.Scale,
                    Offset = series.Offset,
                    Unit = series.Unit,
                    Shape = Enum.Parse<MessageShape>(series.Shape, ignoreCase: true),
                    Zone = series.Zone,
                    UnitPath = series.UnitPath,
                    UnitIsStated = series.UnitIsStated,
                    RainIsTotal = series.CountsTotal,
                    RainIsRate = series.CountsRate,
                    RollsOverAt = series.RollsOverAt,
                    LeftOut = series.LeftOut,
                    NoReading = series.NoReading,
                    WetWords = series.WetWords,
                    DryWords = series.DryWords,
                    Every = series.Every,
                    DecimalComma = series.DecimalComma,
                    Rank = site
                        .Series.Where(other => other.Quantity == series.Quantity)
                        .TakeWhile(other => !ReferenceEquals(other, series))
                        .Count(),
                })),
        ];

    /// <summary>Those of the series that the store has readings of, by their number there.</summary>
    public static IReadOnlyDictionary<int, SeriesMap> InStore(SentinelStore store, IEnumerable<SeriesMap> maps)
    {
        var byName = maps.ToDictionary(map => map.Name, StringComparer.Ordinal);
        return store.SeriesNames.Where(pair => byName.ContainsKey(pair.Value)).ToDictionary(pair => pair.Key, pair => byName[pair.Value]);
    }
}
