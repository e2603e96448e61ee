namespace BackyardSentinel.Demo;

/// <summary>One report of the demo's sensor hub.</summary>
/// <param name="TemperatureC">Air temperature, °C.</param>
/// <param name="HumidityPct">Relative humidity, %.</param>
/// <param name="LeafWetnessPct">Leaf wetness, 0 dry to 100 soaked.</param>
/// <param name="RainMm">Rain since the report before, mm.</param>
public sealed record DemoSample(double TemperatureC, double HumidityPct, double LeafWetnessPct, double RainMm);
