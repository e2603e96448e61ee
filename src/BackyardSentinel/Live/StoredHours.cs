using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>A site's mean temperatures of clock hours, made from the stored readings as the watch makes them.</summary>
internal static class StoredHours
{
    /// <summary>All hours in the store, in order.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="site">One of its sites.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static IReadOnlyList<HourTemperature> Of(Configuration.GardenFile garden, Site site)
    {
        List<HourTemperature> known = [];
        var hours = new HourlyTemperature(site.Zone, site.LatitudeDeg, site.LongitudeDeg, known.Add);
        using var store = SentinelStore.Reading(garden.Store.Path);
        var intervals = new IntervalBuilder(site, new Outages(store.Outages()));
        var series = SeriesMaps.InStore(store, garden.Series);
        foreach (var step in SeasonOrder.Of(store.ReadSeason()))
        {
            if (step.Heard
                || !series.TryGetValue(step.Row.Series, out var map)
                || map.SiteId != site.Id
                || map.Quantity != Quantity.Temperature)
                continue;
            while (intervals.TryTake(step.At - site.LateAllowance, out var due))
                hours.Add(due);
            intervals.Add(step.Reading(map));
        }

        while (intervals.TryTakeRest(out var rest))
            hours.Add(rest);
        return known;
    }
}
