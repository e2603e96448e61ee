using BackyardSentinel.Garden;

namespace BackyardSentinel.Phenology;

/// <summary>The usual temperature of each hour of the year at a place, from the usual extremes of its days.</summary>
public sealed class UsualHours(DailyClimate climate, TimeZoneInfo zone, double? latitudeDeg, double? longitudeDeg)
{
    private readonly DayCurves _curves = new(zone, latitudeDeg, longitudeDeg);
    private readonly Dictionary<(int Month, int Day, int Hour), double> _known = [];

    /// <summary>The usual mean temperature of a UTC clock hour, °C.</summary>
    public double At(DateTimeOffset hourStart)
    {
        var key = (hourStart.Month, hourStart.Day, hourStart.Hour);
        if (!_known.TryGetValue(key, out var tempC))
            _known[key] = tempC = _curves.MiddleOfHourC(hourStart, climate.Of);
        return tempC;
    }
}
