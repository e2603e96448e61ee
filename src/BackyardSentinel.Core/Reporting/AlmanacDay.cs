using BackyardSentinel.Weather;

namespace BackyardSentinel.Reporting;

/// <summary>A local day that is over.</summary>
/// <param name="Weather">Its temperatures and its rain.</param>
/// <param name="WetHours">Hours that count as wet, h.</param>
/// <param name="WetnessShare">Share of the day of which it is known whether leaves were wet, 0–1.</param>
public readonly record struct AlmanacDay(DayWeather Weather, double WetHours, double WetnessShare)
{
    /// <summary>The local day.</summary>
    public DateOnly Day => Weather.Day;
}
