namespace BackyardSentinel.Logs;

/// <summary>One row of a recorded log in canonical units; a missing value is <c>null</c>.</summary>
public record struct LogRow
{
    // In here a missing value is NaN, which no log can hold: rows are copied often, and a nullable is twice as large.
    private double _temperatureC, _humidityPct, _leafWetness, _rainMm, _windMs, _leafWetnessUnderShelter;

    /// <summary>Takes what a line says, in place; a value that is missing is given as NaN.</summary>
    internal void Fill(
        long line,
        DateTimeOffset time,
        TimeSpan period,
        double temperatureC,
        double humidityPct,
        double leafWetness,
        double rainMm,
        double windMs,
        double leafWetnessUnderShelter)
    {
        (Line, Time, Period) = (line, time, period);
        _temperatureC = temperatureC;
        _humidityPct = humidityPct;
        _leafWetness = leafWetness;
        _rainMm = rainMm;
        _windMs = windMs;
        _leafWetnessUnderShelter = leafWetnessUnderShelter;
    }

    /// <summary>Line in the file, 1-based, the header being line 1.</summary>
    public long Line { get; private set; }

    /// <summary>The row's moment, or the start of the time it describes, UTC.</summary>
    public DateTimeOffset Time { get; private set; }

    /// <summary>How long it describes; zero for a momentary row.</summary>
    public TimeSpan Period { get; internal set; }

    /// <summary>Air temperature, °C.</summary>
    public readonly double? TemperatureC => Known(_temperatureC);

    /// <summary>Relative humidity, %.</summary>
    public readonly double? HumidityPct => Known(_humidityPct);

    /// <summary>Leaf wetness in the sensor's scale.</summary>
    public readonly double? LeafWetness => Known(_leafWetness);

    /// <summary>Rain, mm.</summary>
    public readonly double? RainMm => Known(_rainMm);

    /// <summary>Wind speed, m/s.</summary>
    public readonly double? WindMs => Known(_windMs);

    /// <summary>Leaf wetness under the rain shelter, in the sensor's scale.</summary>
    public readonly double? LeafWetnessUnderShelter => Known(_leafWetnessUnderShelter);

    private static double? Known(double value) => double.IsNaN(value) ? null : value;
}
