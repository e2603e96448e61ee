namespace BackyardSentinel.Planning;

/// <summary>Air that was measured in the garden, for telling frost before a spray.</summary>
/// <param name="At">Start of the interval, UTC.</param>
/// <param name="TemperatureC">Its mean air temperature, °C.</param>
/// <param name="HumidityPct">Its mean relative humidity, %; <c>null</c>: not measured.</param>
public readonly record struct AirObserved(DateTimeOffset At, double TemperatureC, double? HumidityPct);
