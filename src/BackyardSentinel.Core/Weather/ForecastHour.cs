namespace BackyardSentinel.Weather;

/// <summary>The forecast for one hour. A missing value is <c>null</c>, never 0.</summary>
/// <param name="Start">Start of the clock hour, UTC; it covers [Start, Start + 1 h).</param>
/// <param name="TemperatureC">Mean air temperature, °C.</param>
/// <param name="HumidityPct">Mean relative humidity, %.</param>
/// <param name="RainMm">Rain in this hour, mm.</param>
/// <param name="RainProbabilityPct">Probability of rain in this hour, %.</param>
/// <param name="WindMs">Mean wind speed, m/s.</param>
/// <param name="CloudPct">Cloud cover, %.</param>
public readonly record struct ForecastHour(
    DateTimeOffset Start,
    double? TemperatureC,
    double? HumidityPct,
    double? RainMm,
    double? RainProbabilityPct = null,
    double? WindMs = null,
    double? CloudPct = null);
