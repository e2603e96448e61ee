using BackyardSentinel.Units;

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

    private static readonly Dictionary<string, string> UsNames = new(StringComparer.Ordinal)
    {
        ["temperature"] = "temperature_f",
        ["rain"] = "rain_in",
        ["wind-speed"] = "wind_mph",
    };

    /// <summary>All places, -1 among them.</summary>
    public IEnumerable<int> Places => [Time, Temperature, Humidity, LeafWetness, Rain, Wind, LeafWetnessUnderShelter];

    /// <summary>How many fields a row needs at least.</summary>
    public int Needed => 1 + Places.Max();

    /// <summary>Finds the columns in a header, or says which one is missing.</summary>
    public static LogColumns Find(string file, IReadOnlyList<string> header, IReadOnlyDictionary<string, string> mapped, UnitSystem units)
    {
        var places = Defaults
            .Select(column =>
            {
                // A US log may say its units in the names of its columns.
                var usual =
                    units == UnitSystem.Us && UsNames.GetValueOrDefault(column.Role) is { } us && IndexOf(header, us) >= 0
                        ? us
                        : column.Name;
                var name = mapped.GetValueOrDefault(column.Role, usual);
                var place = IndexOf(header, name);
                if (place < 0 && (mapped.ContainsKey(column.Role) || column.Role == "time"))
                    throw Missing(file, name, column.Role, header);
                if (place >= 0 && IndexOf(header, name, place + 1) >= 0)
                    throw new LogProblemException(
                        $"{file}: the header has two columns \"{name}\"; rename the one that is not the {column.Role} column.");
                return place;
            })
            .ToArray();

        var columns = new LogColumns(places[0], places[1], places[2], places[3], places[4], places[5], places[6]);
        if (columns is { Temperature: < 0, Humidity: < 0, LeafWetness: < 0, Rain: < 0, Wind: < 0, LeafWetnessUnderShelter: < 0 })
            throw Missing(file, "temperature_c", "temperature", header);
        return columns;
    }

    private static int IndexOf(IReadOnlyList<string> header, string name, int from = 0)
    {
        for (var i = from; i < header.Count; i++)
        {
            if (string.Equals(header[i].Trim(), name, StringComparison.OrdinalIgnoreCase))
                return i;
        }

        return -1;
    }

    private static LogProblemException Missing(string file, string name, string role, IReadOnlyList<string> header) =>
        new(
            $"{file}: no column \"{name}\" in the header ({string.Join(", ", header.Take(12).Select(text => LogExcerpt.Of(text)))}); name it with --columns {role}=NAME.");
}
