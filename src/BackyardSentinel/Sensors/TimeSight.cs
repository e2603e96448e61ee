using System.Text.Json;

namespace BackyardSentinel.Sensors;

/// <summary>Tells whether a value is the moment of the values beside it.</summary>
internal static class TimeSight
{
    private static readonly string[] Names =
        [
            "time", "timestamp", "ts", "at", "when", "date", "datetime", "dateutc", "utc", "epoch", "stamp", "seen", "received",
            "measured", "zeit",
        ];

    /// <summary>Seconds of 2000-01-01: a smaller number is no moment of a sensor.</summary>
    private const double Least = 946_684_800;

    private static readonly DateTimeOffset Earliest = new(
        2000, 1, 1, 0, 0, 0, TimeSpan.Zero), Latest = new(2100, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>It is one.</summary>
    /// <param name="value">The value.</param>
    /// <param name="name">What it is called; <c>null</c>: it has no name.</param>
    /// <param name="needsZone">It is told without a zone.</param>
    public static bool Of(JsonElement value, string? name, out bool needsZone)
    {
        needsZone = false;
        return value.ValueKind switch
        {
            JsonValueKind.String => Of(value.GetString()!, name, out needsZone),
            JsonValueKind.Number => Of(value.GetRawText(), name, out needsZone),
            _ => false,
        };
    }

    /// <inheritdoc cref="Of(JsonElement, string?, out bool)"/>
    public static bool Of(string text, string? name, out bool needsZone)
    {
        needsZone = false;
        var isNumber = NumberReader.Read(text) is { Outcome: NumberOutcome.Number } number && number.Value >= Least;
        // A date tells itself; a large number may be a counter, unless its name says that it is a time.
        if (isNumber ? name is not null && !IsNamed(name) && name is not "t" : text.Length < 16)
            return false;
        if (isNumber || TimeReader.TryRead(text, out _, out _))
            return TimeReader.TryRead(text, out var time, out _) && time > Earliest && time < Latest;
        needsZone = TimeReader.TryRead(text, new TimeReader.WallClock(TimeZoneInfo.Utc, Latest), out var local, out _);
        return needsZone && local > Earliest && local < Latest;
    }

    private static bool IsNamed(string name)
    {
        var words = Weather.SensorWords.Of(name);
        return words.Any(word => Names.Contains(word));
    }
}
