using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>
/// A site's mean temperatures of clock hours, as its watch makes them from the stored readings: a series that cannot be right
/// is not used. Where readings have grown old, their hourly means.
/// </summary>
public static class StoredHours
{
    /// <summary>An hour counts with readings in so many of its quarters: half of it, as for a watch.</summary>
    private const int LeastQuarters = 2;

    /// <summary>All hours in the store, in order.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="site">One of its sites.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static IReadOnlyList<HourTemperature> Of(Configuration.GardenFile garden, Site site)
    {
        List<HourTemperature> known = [];
        using var store = SentinelStore.Reading(garden.Store.Path);
        var series = SeriesMaps.InStore(store, garden.Series.Where(map => map.SiteId == site.Id));
        var season = new SeasonFeed([site], outages: store.Outages(), onHour: known.Add);
        season.Feed(SeriesMaps.Season(store, series));
        season.Finish();
        var begin = known.Count > 0 ? known[0].Start : (DateTimeOffset?)null;
        return
        [
            .. store.ReadHours(to: begin)
                .Where(hour => hour.Quarters >= LeastQuarters && series.GetValueOrDefault(hour.Series)?.Quantity == Quantity.Temperature)
                .GroupBy(hour => hour.Hour)
                .Select(hours => hours.MinBy(hour => series[hour.Series].Rank))
                .Select(hour => new HourTemperature(hour.Start, hour.Mean, HourSource.Measured)),
            .. known,
        ];
    }
}
