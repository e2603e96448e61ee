namespace BackyardSentinel.Forecasts;

/// <summary>How a source arranges its forecast.</summary>
public enum ForecastShape
{
    /// <summary>One list for the times and one for each quantity, side by side.</summary>
    Columns,

    /// <summary>A list of records, each with a time and, perhaps, values for the next hours.</summary>
    Records,

    /// <summary>For each quantity a list of its own, whose entries say for how long they hold.</summary>
    Layers,

    /// <summary>A plain list of records, as hubs publish it: rows of a day and of an hour may be mixed.</summary>
    List,

    /// <summary>A SenML pack (RFC 8428) whose times lie ahead.</summary>
    Senml,
}

/// <summary>The words of the garden file.</summary>
public static class ForecastShapeWords
{
    /// <summary>As the garden file spells it: <c>layers</c>.</summary>
    public static string Word(this ForecastShape shape) => shape switch
    {
        ForecastShape.Columns => "columns",
        ForecastShape.Records => "records",
        ForecastShape.Layers => "layers",
        ForecastShape.List => "list",
        ForecastShape.Senml => "senml",
    };
}
