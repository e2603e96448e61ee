using BackyardSentinel.Delivery;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Configuration;

/// <summary>Where the weather forecast comes from and how its numbers are found.</summary>
public sealed record ForecastSettings
{
    /// <summary>How it comes.</summary>
    public required ForecastWay Kind { get; init; }

    /// <summary>http only: the address.</summary>
    public KeptValue? Url { get; init; }

    /// <summary>mqtt only: the topic.</summary>
    public string? Topic { get; init; }

    /// <summary>file only: the file.</summary>
    public string? Path { get; init; }

    /// <summary>http and file: how often it is read, 30 min to 24 h.</summary>
    public TimeSpan Every { get; init; } = TimeSpan.FromMinutes(60);

    /// <summary>http only: where the source can reach the grower.</summary>
    public string? Contact { get; init; }

    /// <summary>http only: headers of the requests.</summary>
    public IReadOnlyList<ReceiverHeader> Headers { get; init; } = [];

    /// <summary>http only: the address may lie in the own network.</summary>
    public bool AllowPrivate { get; init; }

    /// <summary>How its numbers are read; <c>null</c>: it writes the program's own form.</summary>
    public ForecastMap? Map { get; init; }
}
