using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Contract;

/// <summary>sentinel/SITE/weather: the last interval.</summary>
/// <param name="Start">Start of the interval, UTC.</param>
/// <param name="End">End of the interval, not in it, UTC.</param>
/// <param name="TemperatureC">Mean air temperature, °C.</param>
/// <param name="HumidityPct">Mean relative humidity, %.</param>
/// <param name="WindMs">Mean wind speed, m/s.</param>
/// <param name="RainMm">Rain that fell in it, mm.</param>
/// <param name="LeafWetShare">Share of the time in which the leaf-wetness sensor was wet.</param>
/// <param name="DewPointC">Dew point, °C.</param>
/// <param name="VapourPressureDeficitHpa">Vapour pressure deficit, hPa.</param>
/// <param name="Wetness">What the leaves are judged to be.</param>
/// <param name="WetFraction">Share of the interval that counts as wet; null where unknown.</param>
[SchemaFile("weather")]
public sealed record WeatherTopic(
    DateTimeOffset Start,
    DateTimeOffset End,
    [Bounds(Quantities.MinTemperatureC, Quantities.MaxTemperatureC)] double? TemperatureC,
    [Bounds(0, Quantities.MaxHumidityPct)] double? HumidityPct,
    [Bounds(0, Quantities.MaxWindMs)] double? WindMs,
    [Bounds(0)] double? RainMm,
    [Bounds(0, 1)] double? LeafWetShare,
    double? DewPointC,
    [Bounds(0)] double? VapourPressureDeficitHpa,
    WetnessState Wetness,
    [Bounds(0, 1)] double? WetFraction);
