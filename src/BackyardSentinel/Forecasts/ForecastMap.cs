using BackyardSentinel.Sensors;

namespace BackyardSentinel.Forecasts;

/// <summary>How one source's forecast is read. Paths are those of <see cref="JsonPath"/>.</summary>
public sealed record ForecastMap
{
    /// <summary>How the source arranges it.</summary>
    public required ForecastShape Shape { get; init; }

    /// <summary>The source's name, for people.</summary>
    public required string Source { get; init; }

    /// <summary>What is read; the order is the order of preference.</summary>
    public required IReadOnlyList<ForecastField> Quantities { get; init; }

    /// <summary>Path of the list, or of what holds the columns or layers; <c>null</c> for the payload itself.</summary>
    public string? Rows { get; init { field = Checked(value); } }

    /// <summary>Path of the time: of the list in columns, within a row or a layer's entry elsewhere; SenML has its own.</summary>
    public string Time { get; init { field = Checked(value)!; } } = "time";

    /// <summary>Path of the value within a layer's entry; for layers only.</summary>
    public string Value { get; init { field = Checked(value)!; } } = "value";

    /// <summary>Zone of times without an offset; <c>null</c> where there are none.</summary>
    public TimeZoneInfo? TimeZone { get; init; }

    /// <summary>Path of the time of issue, from the top of the payload; <c>null</c> takes the time of fetching.</summary>
    public string? Issued { get; init { field = Checked(value); } }

    /// <summary>The credit line that the source asks for.</summary>
    public string? Attribution { get; init; }

    /// <summary>The licence that the source names.</summary>
    public string? Licence { get; init; }

    private static string? Checked(string? path)
    {
        if (path is not null) JsonPath.Parse(path);
        return path;
    }
}
