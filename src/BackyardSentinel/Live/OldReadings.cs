using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;
using Microsoft.Data.Sqlite;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// Lets readings that have grown old become hourly values, a piece each second while there is something to do, so that no
/// message waits for it. Used by the loop's thread only.
/// </summary>
/// <param name="store">The store.</param>
/// <param name="keepYears">Readings are kept for so many years; <c>null</c>: always.</param>
/// <param name="log">Where sentences go.</param>
public sealed class OldReadings(SentinelStore store, int? keepYears, ILogger log)
{
    private static readonly TimeSpan Pause = TimeSpan.FromHours(1);

    /// <summary>
    /// By a clock that is years ahead all would be old. So a year counts once half of its hours have readings: no clock can leap
    /// that.
    /// </summary>
    private const int HoursOfYear = 365 * 24 / 2;

    private DateTimeOffset _next = DateTimeOffset.MinValue;
    private bool _told;

    /// <summary>Takes a piece, if one is due.</summary>
    /// <param name="now">Now.</param>
    public void Look(DateTimeOffset now)
    {
        if (keepYears is not { } years || (now < _next && _next - now <= Pause))
            return;
        try
        {
            var quantities = store.SeriesNames
                .SelectMany(pair => SeriesNames.Of([pair.Value]).Select(map => (pair.Key, map.Quantity)))
                .ToDictionary(one => one.Key, one => one.Quantity);
            var isMore = store.GrowOld(now.AddYears(-years), years * HoursOfYear, Taken);
            _next = isMore ? now : now + Pause;
            if (isMore && !_told)
                log.Information(
                    "Readings older than {Years} years become hourly values from now on, which nothing can be judged from (keep_years).",
                    years);
            _told |= isMore;

            double? Taken(int series, double value) =>
                !quantities.TryGetValue(series, out var quantity) ? value
                : QualityControl.Judge(quantity, value, out var taken) == QualityVerdict.Impossible ? null
                : taken;
        }
        catch (SqliteException failure) when (!StoreRefusal.IsSpoilt(failure))
        {
            _next = now + Pause;
            log.Warning(
                "Readings older than {Years} years could not be turned into hourly values ({Reason}); it is tried again in an hour.",
                years,
                failure.Message);
        }
    }
}
