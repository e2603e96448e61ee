using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Export;

/// <summary>
/// Writes the weather of a site an interval a row, as its watch makes it of the stored readings, and the hourly values of
/// readings that have grown old.
/// </summary>
internal static class ExportIntervals
{
    /// <summary>The columns of the intervals.</summary>
    public const string Header =
        "site,start,end,temperature_c,humidity_pct,dew_point_c,wind_ms,rain_mm,leaf_wet_share,shelter_wet_share,wet_fraction,wetness\n";

    /// <summary>The columns of the hours.</summary>
    public const string HoursHeader = "site,start,quantity,series,low,mean,high,total,readings,quarters\n";

    /// <summary>Writes the intervals of a site that begin in a time.</summary>
    /// <param name="store">The store.</param>
    /// <param name="garden">The garden.</param>
    /// <param name="site">One of its sites.</param>
    /// <param name="from">Start of the time.</param>
    /// <param name="to">Its end.</param>
    /// <param name="output">Gets the rows.</param>
    public static void Write(
        SentinelStore store, GardenFile garden, Site site, DateTimeOffset from, DateTimeOffset to, TextWriter output)
    {
        var watch = new SiteWatch(site, _ => { }, outages: store.Outages());
        var reached = DateTimeOffset.MinValue;
        var readings = SeriesMaps.Season(store, SeriesMaps.InStore(store, garden.SeriesOf(site.Id)));
        foreach (var step in SeasonOrder.Of(readings, DateTimeOffset.MaxValue, withHeard: false))
        {
            if (step.At >= to)
                break;
            PassTo(step.At);
            watch.Accept(step.Sensed.Reading, reached = step.At);
        }

        // What is over before the last reading, or before the end that was asked for, is whole.
        PassTo(Later(DateTimeOffset.FromUnixTimeMilliseconds(store.LastTimeMs()) >= to ? to : reached, site.LateAllowance));

        void PassTo(DateTimeOffset at)
        {
            while (watch.NextDue is var due && due <= at)
            {
                watch.AdvanceTo(due);
                if (watch.LastInterval is { } interval && interval.Start >= from && interval.Start < to)
                    Write(site, interval, watch.LastWetness ?? default, output);
            }
        }
    }

    /// <summary>Writes the hourly values of sites.</summary>
    /// <param name="store">The store.</param>
    /// <param name="sites">The sites.</param>
    /// <param name="from">Start of the time.</param>
    /// <param name="to">Its end.</param>
    /// <param name="output">Gets the rows.</param>
    public static void WriteHours(SentinelStore store, IEnumerable<Site> sites, DateTimeOffset from, DateTimeOffset to, TextWriter output)
    {
        var asked = sites.Select(site => site.Id).ToHashSet(StringComparer.Ordinal);
        var series = store.SeriesNames
            .SelectMany(pair => SeriesNames.Of([pair.Value]).Select(map => (pair.Key, pair.Value, map)))
            .Where(one => asked.Contains(one.map.SiteId))
            .ToDictionary(one => one.Key, one => (Name: one.Value, one.map.SiteId, one.map.Quantity));
        output.Write(HoursHeader);
        foreach (var hour in store.ReadHours(from == DateTimeOffset.MinValue ? null : from, to == DateTimeOffset.MaxValue ? null : to))
        {
            if (!series.TryGetValue(hour.Series, out var one))
                continue;
            ExportTables.Write(
                output,
                [
                    one.SiteId,
                    ExportTables.Moment(hour.Start),
                    one.Quantity.Word(),
                    one.Name,
                    Figure(hour.Low),
                    Figure(hour.Mean),
                    Figure(hour.High),
                    Figure(hour.Total), hour.Readings.ToString(
                        CultureInfo.InvariantCulture), hour.Quarters.ToString(CultureInfo.InvariantCulture),
                ]);
        }
    }

    private static void Write(Site site, in WeatherInterval interval, Wetness wetness, TextWriter output)
    {
        var dewPoint = interval is { TemperatureC: { } t, HumidityPct: { } humidity }
            ? Psychrometrics.DewPointC(t, humidity)
            : (double?)null;
        ExportTables.Write(
            output,
            [
                site.Id,
                ExportTables.Moment(interval.Start),
                ExportTables.Moment(interval.End),
                Figure(interval.TemperatureC),
                Figure(interval.HumidityPct),
                Figure(dewPoint),
                Figure(interval.WindMs),
                Figure(interval.RainMm),
                Figure(interval.LeafWetShare),
                Figure(interval.ShelterWetShare),
                wetness.State == WetnessState.Unknown ? "" : Figure(wetness.Fraction),
                wetness.State.Word(),
            ]);
    }

    private static DateTimeOffset Later(DateTimeOffset at, TimeSpan by) => at < DateTimeOffset.MaxValue - by ? at + by : at;

    private static string Figure(double? value) => value?.ToString("0.####", CultureInfo.InvariantCulture) ?? "";
}
