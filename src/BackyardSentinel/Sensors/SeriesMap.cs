using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Sensors;

/// <summary>Where one sensor's one quantity is found among the messages, and how its numbers become readings.</summary>
public sealed record SeriesMap
{
    /// <summary>The site the series belongs to.</summary>
    public required string SiteId { get; init; }

    /// <summary>What it measures.</summary>
    public required Quantity Quantity { get; init; }

    /// <summary>The exact topic, without wildcards; case and slashes count.</summary>
    public required string Topic { get; init; }

    /// <summary>
    /// Path of the value in a JSON payload (<c>a.b</c>, <c>a[0]</c>, <c>["air temp"]</c>); <c>null</c> for a bare number.
    /// </summary>
    public string? Path { get; init; }

    /// <summary>Path of the reading's own time in the same payload; <c>null</c> takes the time of arrival.</summary>
    public string? TimePath { get; init; }

    /// <summary>Factor on the raw number, before the unit is converted: 0.1 for tenths, 0.2794 for tips of that many mm.</summary>
    public double Scale { get; init; } = 1;

    /// <summary>Correction added after the scale, still in the sensor's own unit.</summary>
    public double Offset { get; init; }

    /// <summary>The unit the sensor speaks in; conversion to the one unit of the quantity happens here and nowhere else.</summary>
    public Unit Unit { get; init; } = Unit.Raw;

    /// <summary>The value is a running total of rain; readings are the differences.</summary>
    public bool RainIsTotal { get; init; }

    /// <summary>A comma is the decimal mark of this sensor.</summary>
    public bool DecimalComma { get; init; }

    /// <summary>Place in the order of preference among series of the same quantity; 0 is first.</summary>
    public int Rank { get; init; }

    /// <summary>What the grower calls the sensor; <c>null</c>: topic and path are its name.</summary>
    public string? Label { get; init; }

    /// <summary>The name the store knows the series by. Renaming a topic or path starts a new series.</summary>
    public string Name => $"{SiteId}/{Quantity.ToString().ToLowerInvariant()}/{Topic}{(Path is null ? "" : "#" + Path)}";

    /// <summary>Brings a raw number into the quantity's unit: unit(raw × scale + offset).</summary>
    /// <param name="raw">The number as the sensor sent it.</param>
    public double ToCanonical(double raw) => Unit.ToReckoned((raw * Scale) + Offset);
}
