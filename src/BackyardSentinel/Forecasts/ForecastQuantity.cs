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

/// <summary>The words of the garden file.</summary>
public static class ForecastQuantityWords
{
    /// <summary>As the garden file and remarks spell it: <c>rain-probability</c>.</summary>
    public static string Word(this ForecastQuantity quantity) => quantity switch
    {
        ForecastQuantity.Temperature => "temperature",
        ForecastQuantity.Humidity => "humidity",
        ForecastQuantity.Rain => "rain",
        ForecastQuantity.RainProbability => "rain-probability",
        ForecastQuantity.WindSpeed => "wind-speed",
        ForecastQuantity.Cloud => "cloud",
    };
}
