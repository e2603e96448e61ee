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

/// <summary>The words of the garden file.</summary>
public static class ForecastKindWords
{
    /// <summary>As the garden file spells it: <c>mean</c>.</summary>
    public static string Word(this ForecastKind kind) => kind switch
    {
        ForecastKind.Instant => "instant",
        ForecastKind.Mean => "mean",
        ForecastKind.Sum => "sum",
    };
}
