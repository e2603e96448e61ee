using BackyardSentinel.Garden;

namespace BackyardSentinel.Phenology;

/// <summary>
/// The usual temperature of each hour of the year at a place, from the usual extremes of its days. It is the same every year, so that
/// it does not matter when a service began: the sun is that of a year halfway between two leap years, at most half a day off any
/// other's, about a minute of its rise and set at 45° in spring. May be asked from any thread.
/// </summary>
public sealed class UsualHours
{
    private const int HoursADay = 24, Year = 2026, LeapYear = 2028;

    private readonly DayCurves _curves;
    private readonly Func<DateOnly, DailyExtremes> _extremes;
    private readonly double[]?[] _days = new double[366][];

    /// <summary>The usual hours of a place.</summary>
    /// <param name="climate">The usual extremes of its days.</param>
    /// <param name="zone">Its time zone.</param>
    /// <param name="latitudeDeg">Latitude, degrees; <c>null</c>: not known, the sun is taken to shine from 6 to 18 o'clock.</param>
    /// <param name="longitudeDeg">Longitude, degrees, east positive; <c>null</c>: likewise.</param>
    public UsualHours(DailyClimate climate, TimeZoneInfo zone, double? latitudeDeg, double? longitudeDeg)
    {
        (Climate, _extremes) = (climate, climate.Of);
        _curves = new DayCurves(zone, latitudeDeg, longitudeDeg);
    }

    /// <summary>The usual extremes that the hours come from.</summary>
    public DailyClimate Climate { get; }

    /// <summary>The usual mean temperature of a UTC clock hour, °C.</summary>
    public double At(DateTimeOffset hourStart)
    {
        var utc = hourStart.UtcDateTime;
        var index = new DateOnly(LeapYear, utc.Month, utc.Day).DayOfYear - 1;
        return (_days[index] ??= Reckon(new DateTime(utc is { Month: 2, Day: 29 } ? LeapYear : Year, utc.Month, utc.Day)))[utc.Hour];
    }

    private double[] Reckon(DateTime day)
    {
        var hours = new double[HoursADay];
        var start = new DateTimeOffset(day, TimeSpan.Zero);
        lock (_curves)
        {
            for (var hour = 0; hour < HoursADay; hour++)
                hours[hour] = _curves.MiddleOfHourC(start.AddHours(hour), _extremes);
        }

        return hours;
    }
}
