using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>A forecast's hour as if it had been measured, to look ahead with.</summary>
internal static class ForecastWeather
{
    public static WeatherInterval IntervalOf(in ForecastHour hour) => new(
        hour.Start,
        TimeSpan.FromHours(1),
        hour.TemperatureC,
        hour.HumidityPct,
        hour.WindMs,
        hour.RainMm,
        null,
        0,
        1,
        1);

    public static Wetness WetnessOf(in ForecastHour hour, double wetHumidityPct) => hour switch
    {
        { TemperatureC: < 0 } => new Wetness(WetnessState.Frozen, 0),
        { RainMm: > 0 } => new Wetness(WetnessState.Wet, 1),
        { HumidityPct: { } humidity } => humidity >= wetHumidityPct ? new Wetness(WetnessState.Wet, 1) : new Wetness(WetnessState.Dry, 0),
        _ => new Wetness(WetnessState.Unknown, 0),
    };
}
