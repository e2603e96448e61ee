namespace BackyardSentinel.Configuration;

/// <summary>Where the weather forecast comes from and how its numbers are found.</summary>
public sealed record ForecastSettings
{
    /// <summary>http, mqtt or file.</summary>
    public required string Kind { get; init; }

    /// <summary>http only: the address.</summary>
    public GardenValue? Url { get; init; }

    /// <summary>mqtt only: the topic.</summary>
    public string? Topic { get; init; }

    /// <summary>file only: the file.</summary>
    public string? Path { get; init; }

    /// <summary>http and file: how often it is read, 30 min to 24 h.</summary>
    public TimeSpan Every { get; init; } = TimeSpan.FromMinutes(60);

    /// <summary>http only: where the source can reach the grower.</summary>
    public string? Contact { get; init; }

    /// <summary>http only: headers of the requests.</summary>
    public IReadOnlyList<GardenHeader> Headers { get; init; } = [];

    /// <summary>The name of the office or service it comes from, for people.</summary>
    public string Source { get; init; } = "forecast";

    /// <summary>The credit line the source asks for.</summary>
    public string? Attribution { get; init; }

    /// <summary>The licence the source names.</summary>
    public string? Licence { get; init; }

    /// <summary>http only: the address may lie in the own network.</summary>
    public bool AllowPrivate { get; init; }

    /// <summary>columns, records, layers, list or senml; <c>null</c>: the program's own form.</summary>
    public string? Shape { get; init; }

    /// <summary>Path of the rows; <c>null</c>: the message itself.</summary>
    public string? RowsPath { get; init; }

    /// <summary>Path of the time.</summary>
    public string TimePath { get; init; } = "time";

    /// <summary>Layers only: path of the value within an entry.</summary>
    public string ValuePath { get; init; } = "value";

    /// <summary>Zone of times without an offset; <c>null</c> where there are none.</summary>
    public TimeZoneInfo? Zone { get; init; }

    /// <summary>Path of the time of issue; <c>null</c>: the time of reading counts.</summary>
    public string? IssuedPath { get; init; }

    /// <summary>What is read; empty with the program's own form.</summary>
    public IReadOnlyList<ForecastQuantitySettings> Quantities { get; init; } = [];
}
