using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>
/// A site's mean temperatures of clock hours, as its watch makes them from the stored readings: a series that cannot be right
/// is not used.
/// </summary>
internal static class StoredHours
{
    /// <summary>All hours in the store, in order.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="site">One of its sites.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static IReadOnlyList<HourTemperature> Of(Configuration.GardenFile garden, Site site)
    {
        List<HourTemperature> known = [];
        using var store = SentinelStore.Reading(garden.Store.Path);
        var season = new SeasonFeed([site], outages: store.Outages(), onHour: known.Add);
        season.Feed(SeriesMaps.Season(store, SeriesMaps.InStore(store, garden.Series.Where(map => map.SiteId == site.Id))));
        season.Finish();
        return known;
    }
}
