namespace BackyardSentinel.Weather;

/// <summary>
/// The weather of one bin of time, half-open [Start, End) and aligned to UTC. A missing value is <c>null</c>, never 0.
/// </summary>
/// <param name="Start">Start of the interval, UTC.</param>
/// <param name="Length">Its length: 5, 10, 15, 20, 30 or 60 minutes.</param>
/// <param name="TemperatureC">Time-weighted mean air temperature over the covered part, °C.</param>
/// <param name="HumidityPct">Time-weighted mean relative humidity, %.</param>
/// <param name="WindMs">Time-weighted mean wind speed, m/s.</param>
/// <param name="RainMm">Rain that fell in it, mm; <c>null</c> without any rain reading.</param>
/// <param name="LeafWetShare">Share of the covered time in which the leaf-wetness sensor was wet, 0–1.</param>
/// <param name="LeafWetCoverage">Share of the interval covered by leaf-wetness readings, 0–1.</param>
/// <param name="TemperatureCoverage">Share of the interval covered by temperature readings, 0–1.</param>
/// <param name="HumidityCoverage">Share of the interval covered by humidity readings, 0–1.</param>
public readonly record struct WeatherInterval(
    DateTimeOffset Start,
    TimeSpan Length,
    double? TemperatureC,
    double? HumidityPct,
    double? WindMs,
    double? RainMm,
    double? LeafWetShare,
    double LeafWetCoverage,
    double TemperatureCoverage,
    double HumidityCoverage)
{
    /// <summary>Share of the covered time in which the sensor under the rain shelter was wet, 0–1; <c>null</c>: it said nothing.</summary>
    public double? ShelterWetShare { get; init; }

    /// <summary>Share of the interval covered by its readings, 0–1.</summary>
    public double ShelterWetCoverage { get; init; }

    /// <summary>End of the interval (exclusive), UTC.</summary>
    public DateTimeOffset End => Start + Length;
}
