namespace BackyardSentinel.Weather;

/// <summary>The weather of one local day. A missing value is <c>null</c>.</summary>
/// <param name="Day">The local day.</param>
/// <param name="MeanC">Mean of the intervals' temperatures, °C.</param>
/// <param name="MinC">Lowest interval mean, °C.</param>
/// <param name="MaxC">Highest interval mean, °C.</param>
/// <param name="RainMm">Rain reported, mm.</param>
/// <param name="Coverage">Share of the day with a temperature, 0–1.</param>
public readonly record struct DayWeather(DateOnly Day, double? MeanC, double? MinC, double? MaxC, double RainMm, double Coverage);
