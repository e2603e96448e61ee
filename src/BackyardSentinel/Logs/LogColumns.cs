namespace BackyardSentinel.Logs;

/// <summary>Where in a log's rows each value stands; -1 where the log has none.</summary>
public readonly record struct LogColumns(
    int Time,
    int Temperature,
    int Humidity,
    int LeafWetness,
    int Rain,
    int Wind,
    int LeafWetnessUnderShelter)
{
    /// <summary>Where the time of day stands when <see cref="Time"/> holds the day alone; -1: that holds both.</summary>
    public int TimeOfDay { get; init; } = -1;

    /// <summary>The roles that <c>--columns</c> knows, with their default column names.</summary>
    public static readonly IReadOnlyList<(string Role, string Name)> Defaults =
    [
        ("time", "time"),
        ("temperature", "temperature_c"),
        ("humidity", "humidity_pct"),
        ("leaf-wetness", "leaf_wetness"),
        ("rain", "rain_mm"),
        ("wind-speed", "wind_ms"),
        ("leaf-wetness-under-shelter", "leaf_wetness_under_shelter"),
    ];

    /// <summary>All places, -1 among them.</summary>
    public IEnumerable<int> Places => [Time, TimeOfDay, Temperature, Humidity, LeafWetness, Rain, Wind, LeafWetnessUnderShelter];

    /// <summary>How many fields a row needs at least.</summary>
    public int Needed => 1 + Places.Max();
}
