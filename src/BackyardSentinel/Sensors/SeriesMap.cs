using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Sensors;

/// <summary>Where one sensor's one quantity is found among the messages, and how its numbers become readings.</summary>
public sealed record SeriesMap
{
    /// <summary>The site the series belongs to.</summary>
    public required string SiteId { get; init => (field, Name) = (value, Named(value, Quantity, Topic, Path)); }

    /// <summary>What it measures.</summary>
    public required Quantity Quantity { get; init => (field, Name) = (value, Named(SiteId, value, Topic, Path)); }

    /// <summary>The exact topic, without wildcards; case and slashes count.</summary>
    public required string Topic { get; init => (field, Name) = (value, Named(SiteId, Quantity, value, Path)); }

    /// <summary>
    /// Path of the value in a JSON payload (<see cref="JsonPath"/>), or the name of a SenML record or of a piece of text;
    /// <c>null</c> for a bare number.
    /// </summary>
    public string? Path { get; init => (field, Name) = (value, Named(SiteId, Quantity, Topic, value)); }

    /// <summary>Path of the reading's own time in the same payload; <c>null</c> takes the time of arrival.</summary>
    public string? TimePath { get; init; }

    /// <summary>How the message arranges its values.</summary>
    public MessageShape Shape { get; init; }

    /// <summary>The zone of a time that tells none; <c>null</c> refuses such times.</summary>
    public TimeZoneInfo? Zone { get; init; }

    /// <summary>Factor on the raw number, before the unit is converted: 0.1 for tenths, 0.2794 for tips of that many mm.</summary>
    public double Scale { get; init; } = 1;

    /// <summary>Correction added after the scale, still in the sensor's own unit.</summary>
    public double Offset { get; init; }

    /// <summary>The unit the sensor speaks in; conversion to the one unit of the quantity happens here and nowhere else.</summary>
    public Unit Unit { get; init; } = Unit.Raw;

    /// <summary>The unit was stated and not left to the usual one.</summary>
    public bool UnitIsStated { get; init; }

    /// <summary>Path of the unit's text in the same payload; <c>null</c> looks for one behind or beside the number only.</summary>
    public string? UnitPath { get; init; }

    /// <summary>What the sensor leaves out when it is this number, as it would send it; <c>null</c>: it leaves out nothing.</summary>
    public double? LeftOut { get; init; }

    /// <summary>Numbers, as sent, that stand for no reading.</summary>
    public IReadOnlyList<double> NoReading { get; init; } = [];

    /// <summary>Leaf wetness: words for a wet leaf and for a dry one; empty: only numbers are taken.</summary>
    public IReadOnlyList<string> WetWords { get; init; } = [];

    /// <inheritdoc cref="WetWords"/>
    public IReadOnlyList<string> DryWords { get; init; } = [];

    /// <summary>Leaf wetness in minutes: the time that they are counted over.</summary>
    public TimeSpan? Every { get; init; }

    /// <summary>The value is a rate of rain in an hour; readings are amounts.</summary>
    public bool RainIsRate { get; init; }

    /// <summary>The number after which a running total begins again at 0, as sent; <c>null</c>: it never does.</summary>
    public double? RollsOverAt { get; init; }

    /// <summary>The value is a running total of rain; readings are the differences.</summary>
    public bool RainIsTotal { get; init; }

    /// <summary>How its running totals are made of what is sent: totals made in another way do not go on from each other.</summary>
    public string TotalsMadeBy => string.Create(CultureInfo.InvariantCulture, $"{Scale:R} {Offset:R} {Unit.Symbol}");

    /// <summary>A comma is the decimal mark of this sensor.</summary>
    public bool DecimalComma { get; init; }

    /// <summary>Path of the sensor's battery in the same payload; <c>null</c>: it is not told.</summary>
    public string? BatteryPath { get; init; }

    /// <summary>The battery is low below this number, as sent.</summary>
    public double BatteryLow { get; init; }

    /// <summary>Place in the order of preference among series of the same quantity; 0 is first.</summary>
    public int Rank { get; init; }

    /// <summary>What the grower calls the sensor; <c>null</c>: topic and path are its name.</summary>
    public string? Label { get; init; }

    /// <summary>How texts for people call the series.</summary>
    public string Called => Label ?? (Path is null ? Topic : $"{Topic} {Path}");

    /// <summary>What one of several series that measure the same at a site is called; <c>null</c>: there is only one.</summary>
    /// <param name="series">Series of any sites.</param>
    /// <param name="site">The site.</param>
    /// <param name="quantity">What it measures.</param>
    /// <param name="rank">Its rank.</param>
    public static string? OneOfSeveral(IEnumerable<SeriesMap> series, string site, Quantity quantity, int rank)
    {
        List<SeriesMap> alike = [.. series.Where(one => one.SiteId == site && one.Quantity == quantity)];
        return alike.Count > 1 ? alike.FirstOrDefault(one => one.Rank == rank)?.Called : null;
    }

    /// <summary>The name the store knows the series by. Renaming a topic or path starts a new series.</summary>
    public string Name { get; private init; } = "";

    /// <summary>A reading of the series.</summary>
    /// <param name="reading">The reading.</param>
    /// <param name="receivedAt">When it came, UTC.</param>
    public SensedReading Sensed(in Reading reading, DateTimeOffset receivedAt) => new(SiteId, Name, reading, receivedAt);

    /// <summary>
    /// Brings a raw number into the quantity's unit: unit(raw × scale + offset). Minutes of a wet leaf become a share of the time
    /// they are counted over, 0 to 100.
    /// </summary>
    /// <param name="raw">The number as the sensor sent it.</param>
    /// <param name="unit">The unit the message names; <c>null</c>: that of the series.</param>
    public double ToCanonical(double raw, Unit? unit = null)
    {
        var value = (unit ?? Unit).ToReckoned((raw * Scale) + Offset);
        return Every is { } every ? value / every.TotalMinutes * 100 : value;
    }

    private static string Named(string site, Quantity quantity, string topic, string? path) =>
        $"{site}/{quantity.ToString().ToLowerInvariant()}/{topic}{(path is null ? "" : "#" + path)}";
}
