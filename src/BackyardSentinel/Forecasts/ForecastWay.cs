namespace BackyardSentinel.Forecasts;

/// <summary>How a forecast comes.</summary>
public enum ForecastWay
{
    /// <summary>An address is asked now and again.</summary>
    Http,

    /// <summary>A topic of the broker.</summary>
    Mqtt,

    /// <summary>A file that something else writes.</summary>
    File,
}

/// <summary>The words of the garden file.</summary>
public static class ForecastWayWords
{
    /// <summary>As the garden file spells it.</summary>
    public static string Word(this ForecastWay way) => way switch
    {
        ForecastWay.Http => "http",
        ForecastWay.Mqtt => "mqtt",
        ForecastWay.File => "file",
    };
}
