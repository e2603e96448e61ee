using BackyardSentinel.Weather;

namespace BackyardSentinel.Tuning;

/// <summary>What a rain shelter left of an interval's weather: no rain and no humid air.</summary>
/// <param name="Wetness">Whether the leaves under it were wet, by the sensor there.</param>
/// <param name="NoRainGauge">Wetness alone counts, as a sensor hangs there.</param>
public readonly record struct UnderRoof(Wetness Wetness, bool NoRainGauge)
{
    /// <summary>The interval as it was under the roof.</summary>
    internal static WeatherInterval Of(in WeatherInterval sky) => sky with { RainMm = 0, HumidityPct = null };
}
