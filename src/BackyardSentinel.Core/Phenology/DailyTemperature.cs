using static System.Math;

namespace BackyardSentinel.Phenology;

/// <summary>
/// A day's course of temperature from its extremes, for gaps in which only these are known. Linvill 1990 (HortScience 25,
/// 14–16), the form from memory: a sine from sunrise, whose top lies two hours after the middle of the day, and a
/// logarithmic fall from sunset to the next sunrise. The logarithm is taken of one hour more than has passed since sunset,
/// in both places where it stands (assumed): so the night begins exactly at the temperature of sunset, and ends exactly at
/// the next minimum. Real nights cool in other ways; chill counted from the curve is off by a few percent.
/// </summary>
/// <remarks>
/// The top is reached only on days with 4 h of daylight or more. A day without sunrise or without sunset has the mean of
/// its extremes throughout. Hours run from the midnight that begins the day, by any clock, as long as the sun's hours are
/// told by the same one, and with 24 h from midnight to midnight. A day without a known neighbour is its own neighbour.
/// </remarks>
public static class DailyTemperature
{
    /// <summary>Hours by which the sine outlasts daylight: its top comes half of it after the middle of the day.</summary>
    private const double LagHours = 4;

    /// <summary>Temperature at a moment of the day, °C.</summary>
    /// <param name="hourOfDay">Hours after midnight, 0 to 24.</param>
    /// <param name="yesterday">The day before.</param>
    /// <param name="today">The day.</param>
    /// <param name="tomorrow">The day after.</param>
    public static double At(double hourOfDay, in CurveDay yesterday, in CurveDay today, in CurveDay tomorrow)
    {
        if (!(hourOfDay is >= 0 and <= 24))
            throw new ArgumentOutOfRangeException(nameof(hourOfDay), hourOfDay, "An hour of the day must lie from 0 to 24.");
        if (today.IsPolar)
            return today.Extremes.MeanC;
        if (hourOfDay < today.SunriseHour)
            return FromSunrise(hourOfDay + 24, yesterday, today);
        // Only where clock and sun are so far apart that the next sunrise falls on this day.
        if (hourOfDay - 24 >= tomorrow.SunriseHour)
            return Daylight(hourOfDay - 24, tomorrow);
        return FromSunrise(hourOfDay, today, tomorrow);
    }

    /// <summary>From a day's sunrise through its night to the next sunrise; the hour counts from the day's midnight on, past 24.</summary>
    private static double FromSunrise(double hour, in CurveDay day, in CurveDay next)
    {
        if (hour <= day.SunsetHour)
            return Daylight(hour, day);
        var nightHours = 24 - day.SunsetHour + next.SunriseHour;
        var fallen = Log(hour - day.SunsetHour + 1) / Log(nightHours + 1);
        var sunsetC = Daylight(day.SunsetHour, day);
        return sunsetC - ((sunsetC - next.Extremes.MinC) * fallen);
    }

    private static double Daylight(double hour, in CurveDay day) => day.IsPolar
        ? day.Extremes.MeanC
        : day.Extremes.MinC + ((day.Extremes.MaxC - day.Extremes.MinC)
            * Sin(PI * (hour - day.SunriseHour) / (day.DaylightHours + LagHours)));
}
