namespace BackyardSentinel.Forecasts;

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

/// <summary>The words of the garden file.</summary>
public static class ForecastPeriodWords
{
    /// <summary>As the garden file spells it: <c>previous</c>.</summary>
    public static string Word(this ForecastPeriod period) => period switch
    {
        ForecastPeriod.Previous => "previous",
        ForecastPeriod.Next => "next",
        ForecastPeriod.Interval => "interval",
    };
}
