using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// Hours of a place read from the daily curve. Days are counted by the zone's standard time, so that each has 24 hours.
/// Without coordinates the sun is taken to rise at 06:00 and to set at 18:00 (assumed).
/// </summary>
internal sealed class DayCurves(TimeZoneInfo zone, double? latitudeDeg, double? longitudeDeg)
{
    /// <summary>The sun's times are the same for every hour of a day, and reckoning them costs more than the hour itself.</summary>
    private readonly Dictionary<DateOnly, SunDay> _suns = [];

    /// <summary>The day that a moment belongs to, by standard time.</summary>
    public DateOnly DayOf(DateTimeOffset at) => DateOnly.FromDateTime(at.ToOffset(zone.BaseUtcOffset).DateTime);

    /// <summary>Temperature in the middle of the hour, °C: close to the mean of the hour.</summary>
    public double MiddleOfHourC(DateTimeOffset hourStart, Func<DateOnly, DailyExtremes> extremes)
    {
        var middle = hourStart.AddMinutes(30);
        var day = DayOf(middle);
        return DailyTemperature.At(
            (middle - MidnightOf(day)).TotalHours,
            Curve(day.AddDays(-1), extremes),
            Curve(day, extremes),
            Curve(day.AddDays(1), extremes));
    }

    private CurveDay Curve(DateOnly day, Func<DateOnly, DailyExtremes> extremes) =>
        latitudeDeg is { } latitude && longitudeDeg is { } longitude
            ? CurveDay.Under(Sun(day, latitude, longitude), MidnightOf(day), extremes(day))
            : new CurveDay(extremes(day), 6, 18);

    private SunDay Sun(DateOnly day, double latitude, double longitude)
    {
        if (!_suns.TryGetValue(day, out var sun))
            _suns[day] = sun = SunTimes.On(day, latitude, longitude, zone);
        return sun;
    }

    private DateTimeOffset MidnightOf(DateOnly day) => new(day.ToDateTime(TimeOnly.MinValue), zone.BaseUtcOffset);
}
