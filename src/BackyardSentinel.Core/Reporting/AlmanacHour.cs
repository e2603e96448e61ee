namespace BackyardSentinel.Reporting;

/// <summary>The weather of one clock hour, half-open [Start, Start + 1 h). A missing value is <c>null</c>, never 0.</summary>
/// <param name="Start">Start, UTC.</param>
/// <param name="LowC">Lowest interval mean, °C.</param>
/// <param name="MeanC">Mean temperature, °C.</param>
/// <param name="HighC">Highest interval mean, °C.</param>
/// <param name="HumidityPct">Mean relative humidity, %.</param>
/// <param name="RainMm">Rain, mm; <c>null</c> where no gauge said anything.</param>
/// <param name="WetShare">Share of the hour that counts as wet, 0–1.</param>
/// <param name="TemperatureShare">Share of the hour with a temperature, 0–1; of the last hour only what is judged counts.</param>
/// <param name="WetnessShare">Share of the hour of which it is known whether leaves were wet, 0–1.</param>
public readonly record struct AlmanacHour(
    DateTimeOffset Start,
    double? LowC,
    double? MeanC,
    double? HighC,
    double? HumidityPct,
    double? RainMm,
    double WetShare,
    double TemperatureShare,
    double WetnessShare);
