namespace BackyardSentinel.Ingest;

/// <summary>How a source arranges its forecast.</summary>
public enum ForecastShape
{
    /// <summary>One list for the times and one for each quantity, side by side.</summary>
    Columns,

    /// <summary>A list of records, each with a time and, perhaps, values for the next hours.</summary>
    Records,

    /// <summary>For each quantity a list of its own, whose entries say for how long they hold.</summary>
    Layers,

    /// <summary>A plain list of records, as hubs publish it: daily and hourly rows may be mixed.</summary>
    List,

    /// <summary>A SenML pack (RFC 8428) whose times lie ahead.</summary>
    Senml,
}

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

/// <summary>What one number of a forecast stands for.</summary>
public enum ForecastKind
{
    /// <summary>The value at its time.</summary>
    Instant,

    /// <summary>The mean over its period.</summary>
    Mean,

    /// <summary>The amount in its period; so rain is told, and nothing else.</summary>
    Sum,
}

/// <summary>Which period belongs to the time of a row.</summary>
public enum ForecastPeriod
{
    /// <summary>The hours that end at its time.</summary>
    Previous,

    /// <summary>The hours that begin at its time.</summary>
    Next,

    /// <summary>From its time to the time of the next row, a day at most; the last is as long as the one before it.</summary>
    Interval,
}
