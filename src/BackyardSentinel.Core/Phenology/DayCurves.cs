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
    private readonly Dictionary<DateOnly, (double RiseHour, double SetHour)> _suns = [];

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

    private CurveDay Curve(DateOnly day, Func<DateOnly, DailyExtremes> extremes)
    {
        if (latitudeDeg is not { } latitude || longitudeDeg is not { } longitude)
            return new CurveDay(extremes(day), 6, 18);
        if (_suns.TryGetValue(day, out var sun))
            return new CurveDay(extremes(day), sun.RiseHour, sun.SetHour);
        var curve = CurveDay.Under(SunTimes.On(day, latitude, longitude, zone), MidnightOf(day), extremes(day));
        _suns[day] = (curve.SunriseHour, curve.SunsetHour);
        return curve;
    }

    private DateTimeOffset MidnightOf(DateOnly day) => new(day.ToDateTime(TimeOnly.MinValue), zone.BaseUtcOffset);
}
