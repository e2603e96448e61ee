using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Logs;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Export;

/// <summary>A row of exported readings: what the sensors of one place said at one time, or that listening stopped.</summary>
/// <param name="Time">The readings' own time, UTC.</param>
/// <param name="Received">When the last of them came, UTC; <c>null</c>: listening stopped.</param>
/// <param name="Site">The site.</param>
/// <param name="Place">1 for the sensor that is preferred; <c>null</c>: the garden file has it no more, or listening stopped.</param>
/// <param name="Values">A value for each column of <see cref="ReadingsFile.Values"/>; <c>null</c>: none.</param>
internal sealed record ReadingsRow(DateTimeOffset Time, DateTimeOffset? Received, string Site, int? Place, double?[] Values)
{
    private static readonly long AgeUs = SiteWatch.LargestAge.Ticks / TimeSpan.TicksPerMicrosecond;

    /// <summary>The rows of a store, in the order of time.</summary>
    /// <param name="store">The store.</param>
    /// <param name="garden">The garden.</param>
    /// <param name="sites">The sites that are asked for.</param>
    /// <param name="from">What is earlier is left out.</param>
    /// <param name="to">What is not earlier is left out.</param>
    public static IEnumerable<ReadingsRow> Of(
        SentinelStore store,
        GardenFile garden,
        IReadOnlyCollection<string> sites,
        DateTimeOffset from,
        DateTimeOffset to)
    {
        var sensors = Sensors(store, garden, sites);
        var stops = new Queue<DateTimeOffset>(store.Outages().Where(since => since >= from && since < to));
        List<StoredReading> group = [];
        foreach (var row in store.ReadSeason(from == DateTimeOffset.MinValue ? null : from))
        {
            if (row.TimeMs >= to.ToUnixTimeMilliseconds())
                break;
            if (!sensors.ContainsKey(row.Series))
                continue;
            if (group.Count > 0 && row.TimeMs != group[0].TimeMs)
            {
                foreach (var one in Grouped(group, sensors))
                    yield return one;
                group.Clear();
            }

            while (stops.TryPeek(out var since) && since.ToUnixTimeMilliseconds() <= row.TimeMs && group.Count == 0)
            {
                foreach (var site in sites)
                    yield return new ReadingsRow(since, null, site, null, []);
                stops.Dequeue();
            }

            group.Add(row);
        }

        foreach (var one in Grouped(group, sensors))
            yield return one;
        foreach (var site in stops.SelectMany(since => sites.Select(site => new ReadingsRow(since, null, site, null, []))))
            yield return site;
    }

    /// <summary>Names of the series that the garden file has no more.</summary>
    /// <param name="store">The store.</param>
    /// <param name="garden">The garden.</param>
    /// <param name="sites">The sites that are asked for.</param>
    public static IReadOnlyList<string> Strangers(SentinelStore store, GardenFile garden, IReadOnlyCollection<string> sites) =>
        [.. Sensors(store, garden, sites).Values.Where(sensor => sensor.Place is null).Select(sensor => sensor.Name)];

    private static Dictionary<int, Sensor> Sensors(SentinelStore store, GardenFile garden, IReadOnlyCollection<string> sites)
    {
        var known = garden.Series.ToDictionary(map => map.Name, StringComparer.Ordinal);
        Dictionary<int, Sensor> sensors = [];
        foreach (var (number, name) in store.SeriesNames)
        {
            if (known.TryGetValue(name, out var map))
                sensors.Add(number, new Sensor(name, map.SiteId, map.Quantity, map.Rank + 1));
            else if (SeriesNames.Of([name]).FirstOrDefault() is { } former)
                sensors.Add(number, new Sensor(name, former.SiteId, former.Quantity, null));
        }

        return sensors.Where(pair => sites.Contains(pair.Value.Site)).ToDictionary();
    }

    /// <summary>
    /// Readings of one time share a row where it does not matter in which order they came; those that came before their own time,
    /// or too late to count, keep their own moment of arrival.
    /// </summary>
    private static IEnumerable<ReadingsRow> Grouped(List<StoredReading> group, Dictionary<int, Sensor> sensors)
    {
        var places = group.GroupBy(row => (sensors[row.Series].Site, sensors[row.Series].Place))
            .OrderBy(rows => rows.Key.Site, StringComparer.Ordinal)
            .ThenBy(rows => rows.Key.Place ?? int.MaxValue);
        foreach (var place in places)
        {
            var together = place.Key.Place is null ? [] : place.Where(IsUsual).ToList();
            if (together.Count > 0)
                yield return Row(together, place.Key, sensors);
            foreach (var alone in place.Except(together))
                yield return Row([alone], place.Key, sensors);
        }
    }

    private static bool IsUsual(StoredReading row) => row.ReceivedUs - row.TimeMs * 1000 is var late && late >= 0 && late <= AgeUs;

    private static ReadingsRow Row(List<StoredReading> readings, (string Site, int? Place) place, Dictionary<int, Sensor> sensors)
    {
        var values = new double?[ReadingsFile.Values.Count];
        foreach (var reading in readings)
            values[(int)sensors[reading.Series].Quantity] = reading.Value;
        return new ReadingsRow(
            DateTimeOffset.FromUnixTimeMilliseconds(readings[0].TimeMs),
            StoredTime.ToMoment(readings.Max(reading => reading.ReceivedUs)),
            place.Site,
            place.Place,
            values);
    }

    private sealed record Sensor(string Name, string Site, Quantity Quantity, int? Place);
}
