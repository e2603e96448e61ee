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
        var ranks = SeriesMaps.Of(garden).Where(map => map.SiteId == site.Id && map.Quantity == Quantity.Temperature)
            .ToDictionary(map => map.Name, map => map.Rank, StringComparer.Ordinal);
        List<HourTemperature> known = [];
        var hours = new HourlyTemperature(site.Zone, site.LatitudeDeg, site.LongitudeDeg, known.Add);
        using var store = SentinelStore.Open(garden.Store.Path);
        var intervals = new IntervalBuilder(site, new Outages(store.Outages()));
        var names = store.SeriesNames;
        foreach (var step in SeasonOrder.Of(store.ReadSeason()))
        {
            var row = step.Row;
            if (step.Heard || !names.TryGetValue(row.Series, out var name) || !ranks.TryGetValue(name, out var rank))
                continue;
            while (intervals.TryTake(Stamps.ToMoment(step.AtUs) - site.LateAllowance, out var due))
                hours.Add(due);
            intervals.Add(new Reading(Quantity.Temperature, DateTimeOffset.FromUnixTimeMilliseconds(row.TimeMs), row.Value, default, rank));
        }

        while (intervals.TryTakeRest(out var rest))
            hours.Add(rest);
        return known;
    }
}
