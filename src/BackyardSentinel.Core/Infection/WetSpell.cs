namespace BackyardSentinel.Infection;

/// <summary>Wet time started by rain, with dry gaps up to a limit. Sums are over its wet intervals.</summary>
public readonly record struct WetSpell
{
    // As in an interval, and for the same reason: what is missing is NaN within, and times are ticks.
    private readonly long _start, _end;
    private readonly double _meanTempC, _minTempC, _maxTempC;

    /// <summary>Makes one of ticks, UTC; a temperature that is missing is NaN.</summary>
    internal WetSpell(long start, long end, double meanTempC, double minTempC, double maxTempC)
    {
        (_start, _end) = (start, end);
        (_meanTempC, _minTempC, _maxTempC) = (meanTempC, minTempC, maxTempC);
    }

    /// <summary>Makes one.</summary>
    /// <param name="start">Start of its first wet interval, UTC.</param>
    /// <param name="end">End of its last wet interval so far, UTC.</param>
    /// <param name="wetHours">Sum of wet fraction × interval length, hours.</param>
    /// <param name="rainMm">Rain of its wet intervals, mm.</param>
    /// <param name="meanTempC">Mean temperature over wet time that has one, °C.</param>
    /// <param name="minTempC">Lowest interval mean over wet time, °C.</param>
    /// <param name="maxTempC">Highest interval mean over wet time, °C.</param>
    /// <param name="uncertain">Unknown or temperature-less time exceeds 10 % of it.</param>
    /// <param name="noRainGauge">No rain gauge speaks for what wetted it, in all or in part.</param>
    public WetSpell(
        DateTimeOffset start,
        DateTimeOffset end,
        double wetHours,
        double rainMm,
        double? meanTempC,
        double? minTempC,
        double? maxTempC,
        bool uncertain,
        bool noRainGauge)
    {
        (_start, _end, WetHours, RainMm) = (start.UtcTicks, end.UtcTicks, wetHours, rainMm);
        (_meanTempC, _minTempC, _maxTempC) = (meanTempC ?? double.NaN, minTempC ?? double.NaN, maxTempC ?? double.NaN);
        (Uncertain, NoRainGauge) = (uncertain, noRainGauge);
    }

    /// <summary>Start of its first wet interval, UTC ticks.</summary>
    internal long StartTicks => _start;

    /// <summary>Start of its first wet interval, UTC.</summary>
    public DateTimeOffset Start => new(_start, TimeSpan.Zero);

    /// <summary>End of its last wet interval so far, UTC.</summary>
    public DateTimeOffset End => new(_end, TimeSpan.Zero);

    /// <summary>Sum of wet fraction × interval length, hours.</summary>
    public double WetHours { get; init; }

    /// <summary>Rain of its wet intervals, mm.</summary>
    public double RainMm { get; init; }

    /// <summary>Mean temperature over wet time that has one, °C.</summary>
    public double? MeanTempC
    {
        get => Known(_meanTempC);
        init => _meanTempC = value ?? double.NaN;
    }

    /// <summary>Lowest interval mean over wet time, °C.</summary>
    public double? MinTempC => Known(_minTempC);

    /// <summary>Highest interval mean over wet time, °C.</summary>
    public double? MaxTempC => Known(_maxTempC);

    /// <summary>Unknown or temperature-less time exceeds 10 % of it.</summary>
    public bool Uncertain { get; init; }

    /// <summary>Hours within it of which it is not known whether they were wet.</summary>
    public double UnknownHours { get; init; }

    /// <summary>
    /// No rain gauge speaks for what wetted it, in all or in part, as in a site without one and under a rain shelter: the amount of
    /// rain is not asked for.
    /// </summary>
    public bool NoRainGauge { get; init; }

    private static double? Known(double value) => double.IsNaN(value) ? null : value;
}
