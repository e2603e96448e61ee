using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Units;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of a sensor's series.</summary>
public static class SeriesKeys
{
    // What hangs under the shelter is told by a key of its own.
    private static readonly List<QuantityFacts> Measured =
        [.. Quantities.All.Where(facts => facts.Quantity != Quantity.LeafWetnessUnderShelter)];

    /// <summary>Those that only rain has.</summary>
    internal static IReadOnlyList<string> RainOnly { get; } = ["counts", "rolls_over_at"];

    /// <summary>Those that only leaf wetness has.</summary>
    internal static IReadOnlyList<string> LeafOnly { get; } =
        ["wet_words", "dry_words", "every", "wet_on", "wet_off", "inverted", "under_shelter"];

    /// <summary>Keys of one entry of <c>series</c>.</summary>
    public static GardenSection Series { get; } = new("series", $"a series", [
        new("quantity", OneOf(Measured.Select(facts => facts.Word)), "What the sensor measures.") { Required = true },
        new("name", Text(60), "Your name for the sensor, for the reader of messages. Left out: its topic and path."),
        new("topic", Topic, "The topic the sensor publishes to. A level {site} is replaced by the site's id.") { Required = true },
        new(
            "shape",
            OneOf(Enum.GetValues<MessageShape>().Select(MessageShapeWords.Word)),
            "How a message arranges its values: json, which is a bare number too; senml, a SenML pack; text, a line with several values.",
            MessageShape.Json.Word()),
        new(
            "path",
            JsonPath($"such as air.temp or values[0] or '[\"air temp\"]', log[*].t for each entry of a list, or parts[id=air].t for one"),
            "Where the number is in a JSON message, or the name of a SenML record or of a value in a text. "
                + "Left out: the message is the number."),
        new(
            "time",
            JsonPath($"such as time or data.ts or log[*].at"),
            "Where the reading's time is in the message. Left out: the time of arrival counts."),
        new("zone", Zone, "The time zone of the sensor's times, where they do not contain it. Left out: such times are not taken."),
        new(
            "unit",
            UnitWord.Form(Measured.Select(facts => (facts.Word, WordsOf(facts)))),
            "The unit the sensor reports in; one in the message overrides it. Left out: °C, %, "
                + "mm, m/s, or raw for leaf wetness."),
        new(
            "unit_path",
            JsonPath($"such as units.air"),
            "Where the unit is in a JSON message. Left out: looked for behind the number and under 'unit' beside it."),
        new("scale", NonZero, "The number is multiplied by this first.", "1"),
        new("offset", AnyNumber, "This is added after scale, in the sensor's unit.", "0"),
        new(
            "counts",
            OneOf("each", "total", "rate"),
            "Rain only: whether each message holds the rain since the last one, a total that grows until it is reset, "
                + "or the rate at which it rains.",
            "each"),
        new(
            "rolls_over_at",
            new NumberForm($"a number above 0", double.Epsilon, 1e12),
            "Rain totals only: the number, as sent, at which the counter begins again at 0, such as 65536. Left out: it never does."),
        new(
            "left_out",
            AnyNumber.And($", mostly 0"),
            "What it means, as the sensor would send it, when a message leaves the number out. Left out: nothing."),
        new(
            "no_reading",
            new ValueListForm($"a list of numbers", AreNumbers: true),
            "Numbers, as sent, that mean no reading, such as -127 or 65535."),
        new(
            "battery",
            JsonPath($"such as battery or sys.batt"),
            "Where the sensor's battery is in a JSON message, in any unit; a switch counts as 1 or 0. "
                + "Left out: the battery is not shown."),
        new(
            "battery_low",
            AnyNumber.And($", as sent"),
            "The battery is low below this number, such as 20 of a sensor that sends %, 0.2 of one that sends a share, "
                + "2.4 of one that sends volts, 1 of a switch."),
        new("decimal_comma", YesNo, "The sensor writes 12,5 for twelve and a half.", "false"),
        new(
            "wet_words",
            new ValueListForm($"a list of words, together with dry_words", AreNumbers: false),
            "Leaf wetness only: the words for a wet leaf. Left out: wet, true, on and yes."),
        new(
            "dry_words",
            new ValueListForm($"a list of words, together with wet_words", AreNumbers: false),
            "Leaf wetness only: the words for a dry leaf. Left out: dry, false, off and no."),
        new(
            "every",
            Duration("1m", "60m"),
            "Leaf wetness with unit: min only: the time that the wet minutes are counted over."),
        new(
            "wet_on",
            AnyNumber,
            "Leaf wetness only: the value, after scale and offset, at which the leaf counts as wet.",
            "50"),
        new(
            "wet_off",
            AnyNumber.And($", not above wet_on (with inverted: not below it)"),
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
            new Needs("zone", "time"),
            new Needs("unit_path", "path"),
            new Needs("left_out", "path"),
            new Needs("battery", "path"),
            new Together("battery", "battery_low"),
            new Together("wet_words", "dry_words"),
            new OnlyWith("quantity", [Quantity.Rain.Word()], RainOnly),
            new OnlyWith("quantity", [Quantity.LeafWetness.Word()], LeafOnly),
            new OnlyWith("counts", ["total"], "rolls_over_at"),
            new OnlyWith("unit", [Unit.Minute.Symbol], "every"),
            .. Measured.Select(facts => new WordsWith("quantity", [facts.Word], "unit", UnitWord.TextsOf(WordsOf(facts)))),
            new WordsWith("counts", ["rate"], "unit", UnitWord.TextsOf(UnitWord.PerHour(Quantity.Rain.Facts().Units))),
        ],
    };

    private static IReadOnlyList<UnitWord> WordsOf(QuantityFacts facts) =>
        facts.Quantity == Quantity.Rain ? [.. UnitWord.Of(facts.Units), .. UnitWord.PerHour(facts.Units)] : UnitWord.Of(facts.Units);
}
