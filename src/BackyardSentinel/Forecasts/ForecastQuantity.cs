namespace BackyardSentinel.Forecasts;

/// <summary>What a forecast can tell; each in the unit of <see cref="Weather.ForecastHour"/>.</summary>
public enum ForecastQuantity
{
    /// <summary>Air temperature, °C.</summary>
    Temperature,

    /// <summary>Relative humidity, %.</summary>
    Humidity,

    /// <summary>Rain, mm.</summary>
    Rain,

    /// <summary>Probability of rain, %.</summary>
    RainProbability,

    /// <summary>Wind speed, m/s.</summary>
    WindSpeed,

    /// <summary>Cloud cover, %.</summary>
    Cloud,
}
