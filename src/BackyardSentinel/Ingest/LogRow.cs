namespace BackyardSentinel.Ingest;

/// <summary>One row of a recorded log in canonical units; a missing value is <c>null</c>.</summary>
public record struct LogRow
{
    /// <summary>Line in the file, 1-based, the header being line 1.</summary>
    public long Line { get; set; }

    /// <summary>The row's moment, or the start of the time it describes, UTC.</summary>
    public DateTimeOffset Time { get; set; }

    /// <summary>How long it describes; zero for a momentary row.</summary>
    public TimeSpan Period { get; set; }

    /// <summary>Air temperature, °C.</summary>
    public double? TemperatureC { get; set; }

    /// <summary>Relative humidity, %.</summary>
    public double? HumidityPct { get; set; }

    /// <summary>Leaf wetness in the sensor's scale.</summary>
    public double? LeafWetness { get; set; }

    /// <summary>Rain, mm.</summary>
    public double? RainMm { get; set; }

    /// <summary>Wind speed, m/s.</summary>
    public double? WindMs { get; set; }
}
