using BackyardSentinel.Garden;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of a sensor's series.</summary>
public static class SeriesKeys
{
    private static readonly string Leaf = Quantity.LeafWetness.Word();
    private static readonly string Rain = Quantity.Rain.Word();

    // What hangs under the shelter is told by a key of its own.
    private static readonly List<QuantityFacts> Measured =
        [.. Quantities.All.Where(facts => facts.Quantity != Quantity.LeafWetnessUnderShelter)];

    /// <summary>Keys of one entry of <c>series</c>.</summary>
    public static GardenSection Series { get; } = new("series", "a series", [
        new("quantity", OneOf(Measured.Select(facts => facts.Word)), "What the sensor measures.") { Required = true },
        new("name", Text(60), "Your name for the sensor, for the reader of messages. Left out: its topic and path."),
        new("topic", Topic, "The exact topic the sensor publishes to.") { Required = true },
        new(
            "path",
            JsonPath("such as air.temp or values[0] or '[\"air temp\"]'"),
            "Where the number is in a JSON message. Left out: the message is the number."),
        new(
            "time",
            JsonPath("such as time or data.ts"),
            "Where the reading's time is in a JSON message. Left out: the time of arrival counts."),
        new(
            "unit",
            UnitWords.Form(Measured.Select(facts => (facts.Word, facts.Units))),
            "The unit the sensor reports in. Left out: °C, %, mm, m/s, or raw for leaf wetness."),
        new("scale", NonZero, "The number is multiplied by this first.", "1"),
        new("offset", AnyNumber, "This is added after scale, in the sensor's unit.", "0"),
        new(
            "counts",
            OneOf("each", "total"),
            "Rain only: whether each message holds the rain since the last one, or a total that grows until it is reset.",
            "each"),
        new("decimal_comma", YesNo, "The sensor writes 12,5 for twelve and a half.", "false"),
        new(
            "wet_on",
            AnyNumber,
            "Leaf wetness only: the value, after scale and offset, at which the leaf counts as wet.",
            "50"),
        new(
            "wet_off",
            AnyNumber.And(", not above wet_on (with inverted: not below it)"),
            "Leaf wetness only: the value past which the leaf is dry again. Left out beside wet_on: the same as wet_on.",
            "20"),
        new("inverted", YesNo, "Leaf wetness only: the value falls when the leaf is wet. Needs wet_on.", "false"),
        new(
            "under_shelter",
            YesNo,
            "Leaf wetness only: the sensor hangs under the rain shelter. It counts for sheltered plantings only, and no other sensor does.",
            "false"),
    ])
    {
        Rules =
        [
            new Needs("time", "path"),
            new OnlyWith("quantity", [Rain], "counts"),
            new OnlyWith("quantity", [Leaf], "wet_on", "wet_off", "inverted", "under_shelter"),
            .. Measured.Select(facts => new WordsWith("quantity", [facts.Word], "unit", UnitWords.Of(facts.Units))),
        ],
    };
}
