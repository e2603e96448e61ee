namespace BackyardSentinel.Forecasts;

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
