using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// What <see cref="DailyTemperature"/> needs of one day: its extremes and its sun, in hours after the midnight with which
/// the day begins. A sunset before sunrise, or more than 24 h after it, throws.
/// </summary>
/// <param name="Extremes">Lowest and highest temperature.</param>
/// <param name="SunriseHour">Sunrise, hours after midnight; below 0 where it falls on the day before by the clock.</param>
/// <param name="SunsetHour">Sunset, hours after midnight; above 24 where it falls on the day after by the clock.</param>
public readonly record struct CurveDay(DailyExtremes Extremes, double SunriseHour, double SunsetHour)
{
    /// <summary>Sunrise, hours after midnight.</summary>
    public double SunriseHour { get; } = SunriseHour;

    /// <summary>Sunset, hours after midnight.</summary>
    public double SunsetHour { get; } = double.IsFinite(SunriseHour) && SunsetHour - SunriseHour is >= 0 and <= 24
        ? SunsetHour
        : throw new ArgumentOutOfRangeException(nameof(SunsetHour), SunsetHour, "Sunset must lie 0 to 24 h after sunrise.");

    /// <summary>From sunrise to sunset, h; 0 to 24.</summary>
    public double DaylightHours => SunsetHour - SunriseHour;

    /// <summary>The sun neither rises nor sets: there is no curve to draw.</summary>
    public bool IsPolar => DaylightHours is 0 or 24;

    /// <summary>Puts a day together from the sun's moments.</summary>
    /// <param name="extremes">Lowest and highest temperature.</param>
    /// <param name="sun">The sun of the same day.</param>
    /// <param name="midnight">The moment at which the day begins.</param>
    public static CurveDay Under(SunDay sun, DateTimeOffset midnight, DailyExtremes extremes) => sun switch
    {
        { Sunrise: { } rise, Sunset: { } set } => new(extremes, (rise - midnight).TotalHours, (set - midnight).TotalHours),
        { State: SunState.PolarNight } => new(extremes, 12, 12),
        // Also the first and the last day of the midnight sun, on which it rises or sets only.
        _ => new(extremes, 0, 24),
    };
}
