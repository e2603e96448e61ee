using static System.Math;

namespace BackyardSentinel.Weather;

/// <summary>
/// Sunrise, sunset, noon, height of the sun and length of the day. Rise and set are the moments at which the sun's centre
/// stands 50 minutes of arc below a flat horizon (34 for the refraction of usual air, 16 for the sun's radius), after the
/// position of <see cref="SolarPosition"/> at that very moment. Good to about ten seconds up to 70° of latitude; hills and
/// odd air make more difference than that. A latitude or longitude that is none throws
/// <see cref="ArgumentOutOfRangeException"/>.
/// </summary>
public static class SunTimes
{
    /// <summary>Height of the sun's centre at rise and set, degrees.</summary>
    private const double HorizonDeg = -50.0 / 60;

    private static readonly TimeSpan HalfDay = TimeSpan.FromHours(12), Near = TimeSpan.FromMilliseconds(50);

    /// <summary>
    /// The sun around the noon of a local calendar day: the sunrise before it and the sunset after it. Far north or south,
    /// or where the zone's clock does not go with the sun, these can fall on the calendar day before or after.
    /// </summary>
    /// <param name="localDay">The day by the zone's calendar.</param>
    /// <param name="latitudeDeg">Latitude, degrees, north positive; -90 to 90.</param>
    /// <param name="longitudeDeg">Longitude, degrees, east positive; -180 to 180.</param>
    /// <param name="zone">The zone whose calendar is meant.</param>
    public static SunDay On(DateOnly localDay, double latitudeDeg, double longitudeDeg, TimeZoneInfo zone)
    {
        RequireLatitude(latitudeDeg);
        RequireLongitude(longitudeDeg);
        var noon = NoonOf(localDay, longitudeDeg, zone);
        if (ElevationDeg(noon, latitudeDeg, longitudeDeg) < HorizonDeg)
            return new(null, null, noon, SunState.PolarNight);

        var rise = Crossing(noon - HalfDay, noon, latitudeDeg, longitudeDeg);
        var set = Crossing(noon + HalfDay, noon, latitudeDeg, longitudeDeg);
        return new(rise, set, noon, rise is null || set is null ? SunState.PolarDay : SunState.Normal);
    }

    /// <summary>Height of the sun's centre above a flat horizon, degrees, -90 to 90, without refraction.</summary>
    /// <param name="at">The moment, any offset.</param>
    /// <param name="latitudeDeg">Latitude, degrees, north positive; -90 to 90.</param>
    /// <param name="longitudeDeg">Longitude, degrees, east positive; -180 to 180.</param>
    public static double ElevationDeg(DateTimeOffset at, double latitudeDeg, double longitudeDeg)
    {
        RequireLatitude(latitudeDeg);
        RequireLongitude(longitudeDeg);
        var sun = SolarPosition.At(at);
        var hourAngleDeg = ((at.UtcDateTime.TimeOfDay.TotalMinutes + sun.EquationOfTimeMinutes) / 4) + longitudeDeg - 180;
        var (latitude, declination) = (Rad(latitudeDeg), Rad(sun.DeclinationDeg));
        var sine = (Sin(latitude) * Sin(declination)) + (Cos(latitude) * Cos(declination) * Cos(Rad(hourAngleDeg)));
        return Asin(Clamp(sine, -1, 1)) * 180 / PI;
    }

    /// <summary>
    /// Hours from sunrise to sunset by day of year and latitude alone, 0 in polar night, 24 in polar day: declination of
    /// Spencer 1971, hour angle at 0.8333° below the horizon as in Almorox and others 2005. Within some minutes of
    /// <see cref="On"/>; for where no longitude is known.
    /// </summary>
    /// <param name="dayOfYear">Day of the year, 1 to 366.</param>
    /// <param name="latitudeDeg">Latitude, degrees, north positive; -90 to 90.</param>
    public static double DayLengthHours(int dayOfYear, double latitudeDeg)
    {
        if (dayOfYear is < 1 or > 366)
            throw new ArgumentOutOfRangeException(nameof(dayOfYear), dayOfYear, "A day of the year must lie from 1 to 366.");
        RequireLatitude(latitudeDeg);
        var turn = 2 * PI / 365 * (dayOfYear - 1);
        var declination = 0.006918 - (0.399912 * Cos(turn)) + (0.070257 * Sin(turn)) - (0.006758 * Cos(2 * turn))
            + (0.000907 * Sin(2 * turn)) - (0.002697 * Cos(3 * turn)) + (0.00148 * Sin(3 * turn));
        var latitude = Rad(latitudeDeg);
        var cosine = (Sin(Rad(-0.8333)) - (Sin(latitude) * Sin(declination))) / (Cos(latitude) * Cos(declination));
        return Acos(Clamp(cosine, -1, 1)) * 24 / PI;
    }

    /// <summary>The sun's highest stand nearest to twelve by the zone's clock.</summary>
    private static DateTimeOffset NoonOf(DateOnly localDay, double longitudeDeg, TimeZoneInfo zone)
    {
        var twelve = localDay.ToDateTime(new TimeOnly(12, 0));
        var middle = new DateTimeOffset(twelve, zone.GetUtcOffset(twelve)).ToUniversalTime();
        var solarMinutes = middle.TimeOfDay.TotalMinutes + (4 * longitudeDeg) + SolarPosition.At(middle).EquationOfTimeMinutes;
        var noon = middle.AddMinutes(720 - solarMinutes + (1440 * Round((solarMinutes - 720) / 1440)));
        // The equation of time moves by up to half a minute in a day: once more, at the noon found.
        return noon.AddMinutes(SolarPosition.At(middle).EquationOfTimeMinutes - SolarPosition.At(noon).EquationOfTimeMinutes);
    }

    /// <summary>When the sun passes the horizon between midnight and noon, in either direction; null when it is up all the time.</summary>
    /// <remarks>False position after the Illinois way: the end that stays twice weighs half. A third of the steps of halving.</remarks>
    private static DateTimeOffset? Crossing(DateTimeOffset midnight, DateTimeOffset noon, double latitudeDeg, double longitudeDeg)
    {
        var ((below, under), (above, over)) = ((midnight, Height(midnight)), (noon, Height(noon)));
        if (under >= 0)
            return null;
        for (var (last, wasBelow) = (midnight, (bool?)null); ;)
        {
            var between = below + ((above - below) * (under / (under - over)));
            if ((between - last).Duration() < Near)
                return between;
            var height = Height(between);
            var isBelow = height < 0;
            if (isBelow)
                (below, under, over) = (between, height, wasBelow == isBelow ? over / 2 : over);
            else
                (above, over, under) = (between, height, wasBelow == isBelow ? under / 2 : under);
            (last, wasBelow) = (between, isBelow);
        }

        double Height(DateTimeOffset at) => ElevationDeg(at, latitudeDeg, longitudeDeg) - HorizonDeg;
    }

    private static double Rad(double degrees) => degrees * PI / 180;

    private static void RequireLatitude(double latitudeDeg)
    {
        if (!(latitudeDeg is >= -90 and <= 90))
            throw new ArgumentOutOfRangeException(nameof(latitudeDeg), latitudeDeg, "A latitude must lie from -90 to 90 degrees.");
    }

    private static void RequireLongitude(double longitudeDeg)
    {
        if (!(longitudeDeg is >= -180 and <= 180))
            throw new ArgumentOutOfRangeException(nameof(longitudeDeg), longitudeDeg, "A longitude must lie from -180 to 180 degrees.");
    }
}
