using BackyardSentinel.Units;

namespace BackyardSentinel.Logs;

/// <summary>Which moment of its period a row's time names.</summary>
public enum LogStamp
{
    /// <summary>The row is momentary.</summary>
    Instant,

    /// <summary>The row describes the time from its stamp on.</summary>
    Start,

    /// <summary>The row describes the time up to its stamp.</summary>
    End,
}

/// <summary>How a log is to be understood.</summary>
public sealed record LogOptions
{
    /// <summary>How long each row describes; zero for momentary rows.</summary>
    public TimeSpan Period { get; init; }

    /// <summary>Which moment the stamp names.</summary>
    public LogStamp Stamp { get; init; }

    /// <summary>Zone of times that carry none.</summary>
    public TimeZoneInfo Zone { get; init; } = TimeZoneInfo.Utc;

    /// <summary>The units of the values: with US ones °F, inches and mph.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <summary>
    /// How times are written that are not ISO 8601, as .NET writes such patterns: <c>MM/dd/yyyy HH:mm</c>; <c>null</c>: none are.
    /// </summary>
    public string? TimePattern { get; init; }

    /// <summary>Column names that differ from the default, by role: <c>time</c> or a quantity's word.</summary>
    public IReadOnlyDictionary<string, string> Columns { get; init; } = new Dictionary<string, string>();

    /// <summary>Rows before this are left out.</summary>
    public DateTimeOffset From { get; init; } = DateTimeOffset.MinValue;

    /// <summary>Rows at or after this are left out.</summary>
    public DateTimeOffset To { get; init; } = DateTimeOffset.MaxValue;
}
