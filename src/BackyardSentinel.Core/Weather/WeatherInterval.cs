namespace BackyardSentinel.Weather;

/// <summary>
/// The weather of one bin of time, half-open [Start, End) and aligned to UTC. A missing value is <c>null</c>, never 0.
/// </summary>
public readonly record struct WeatherInterval
{
    // Seasons hand millions of them from part to part: within, what is missing is NaN, and times are ticks, which halves them.
    private readonly long _start, _length;
    private readonly double _temperatureC, _humidityPct, _windMs, _rainMm, _leafWetShare, _shelterWetShare;

    /// <summary>Makes one of ticks, UTC; what is missing is NaN.</summary>
    internal WeatherInterval(long start, long length, double temperatureC, double humidityPct, double windMs, double rainMm)
    {
        (_start, _length) = (start, length);
        (_temperatureC, _humidityPct, _windMs) = (temperatureC, humidityPct, windMs);
        (_rainMm, _leafWetShare, _shelterWetShare) = (rainMm, double.NaN, double.NaN);
    }

    /// <summary>Makes one.</summary>
    /// <param name="start">Start of the interval, UTC.</param>
    /// <param name="length">Its length: 5, 10, 15, 20, 30 or 60 minutes.</param>
    /// <param name="temperatureC">Time-weighted mean air temperature over the covered part, °C.</param>
    /// <param name="humidityPct">Time-weighted mean relative humidity, %.</param>
    /// <param name="windMs">Time-weighted mean wind speed, m/s.</param>
    /// <param name="rainMm">Rain that fell in it, mm; <c>null</c> without any rain reading.</param>
    /// <param name="leafWetShare">Share of the covered time in which the leaf-wetness sensor was wet, 0–1.</param>
    /// <param name="leafWetCoverage">Share of the interval covered by leaf-wetness readings, 0–1.</param>
    /// <param name="temperatureCoverage">Share of the interval covered by temperature readings, 0–1.</param>
    /// <param name="humidityCoverage">Share of the interval covered by humidity readings, 0–1.</param>
    public WeatherInterval(
        DateTimeOffset start,
        TimeSpan length,
        double? temperatureC,
        double? humidityPct,
        double? windMs,
        double? rainMm,
        double? leafWetShare,
        double leafWetCoverage,
        double temperatureCoverage,
        double humidityCoverage)
    {
        (_start, _length) = (start.UtcTicks, length.Ticks);
        (_temperatureC, _humidityPct, _windMs) = (temperatureC ?? double.NaN, humidityPct ?? double.NaN, windMs ?? double.NaN);
        (_rainMm, _leafWetShare, _shelterWetShare) = (rainMm ?? double.NaN, leafWetShare ?? double.NaN, double.NaN);
        (LeafWetCoverage, TemperatureCoverage, HumidityCoverage) = (leafWetCoverage, temperatureCoverage, humidityCoverage);
    }

    // A moment is dear to make, and most are only compared.
    /// <summary>Its start, UTC ticks.</summary>
    internal long StartTicks => _start;

    /// <summary>Its end, UTC ticks.</summary>
    internal long EndTicks => _start + _length;

    /// <summary>Its length in ticks.</summary>
    internal long LengthTicks => _length;

    /// <summary>Start of the interval, UTC.</summary>
    public DateTimeOffset Start
    {
        get => new(_start, TimeSpan.Zero);
        init => _start = value.UtcTicks;
    }

    /// <summary>Its length: 5, 10, 15, 20, 30 or 60 minutes.</summary>
    public TimeSpan Length
    {
        get => new(_length);
        init => _length = value.Ticks;
    }

    /// <summary>End of the interval (exclusive), UTC.</summary>
    public DateTimeOffset End => new(_start + _length, TimeSpan.Zero);

    /// <summary>Time-weighted mean air temperature over the covered part, °C.</summary>
    public double? TemperatureC
    {
        get => Known(_temperatureC);
        init => _temperatureC = value ?? double.NaN;
    }

    /// <summary>Time-weighted mean relative humidity, %.</summary>
    public double? HumidityPct
    {
        get => Known(_humidityPct);
        init => _humidityPct = value ?? double.NaN;
    }

    /// <summary>Time-weighted mean wind speed, m/s.</summary>
    public double? WindMs
    {
        get => Known(_windMs);
        init => _windMs = value ?? double.NaN;
    }

    /// <summary>Rain that fell in it, mm; <c>null</c> without any rain reading.</summary>
    public double? RainMm
    {
        get => Known(_rainMm);
        init => _rainMm = value ?? double.NaN;
    }

    /// <summary>Share of the covered time in which the leaf-wetness sensor was wet, 0–1.</summary>
    public double? LeafWetShare
    {
        get => Known(_leafWetShare);
        init => _leafWetShare = value ?? double.NaN;
    }

    /// <summary>Share of the interval covered by leaf-wetness readings, 0–1.</summary>
    public double LeafWetCoverage { get; init; }

    /// <summary>Share of the interval covered by temperature readings, 0–1.</summary>
    public double TemperatureCoverage { get; init; }

    /// <summary>Share of the interval covered by humidity readings, 0–1.</summary>
    public double HumidityCoverage { get; init; }

    /// <summary>
    /// Share of the covered time in which the sensor under the rain shelter was wet, 0–1; <c>null</c>: it said nothing.
    /// </summary>
    public double? ShelterWetShare
    {
        get => Known(_shelterWetShare);
        init => _shelterWetShare = value ?? double.NaN;
    }

    /// <summary>Share of the interval covered by its readings, 0–1.</summary>
    public double ShelterWetCoverage { get; init; }

    private static double? Known(double value) => double.IsNaN(value) ? null : value;
}
