using System.Globalization;
using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>A series and where it stands in the file.</summary>
/// <param name="Series">The series; it has its site and its rank there once it is known whose it is.</param>
/// <param name="Leaf">How the values of a leaf-wetness sensor are read.</param>
/// <param name="Place">Its place.</param>
internal sealed record PlacedSeries(SeriesMap Series, WetnessScale Leaf, YamlNode Place);

/// <summary>Reads one entry of <c>series</c>.</summary>
internal static class SeriesReader
{
    /// <summary>The series, or <c>null</c> when quantity or topic are missing or wrong.</summary>
    public static PlacedSeries? Read(YamlMapping map, ProblemList problems)
    {
        SectionReader keys = new(map, SeriesKeys.Series, problems);
        var topic = Topic(keys, problems);
        var shape = keys.Choice<MessageShape>("shape", MessageShapeWords.Word)!.Value;
        var (path, time) = SeriesPaths.Read(keys, shape, problems);
        var unitPath = PathKeys.Read(keys, "unit_path", problems, mayBeEach: true);
        var battery = SeriesPaths.Battery(keys, shape, problems);
        var zone = ZoneKeys.Read(keys, problems);
        var (scale, offset) = (keys.Number("scale"), keys.Number("offset"));
        var counts = keys.Word("counts");
        var rollsOverAt = keys.OptionalNumber("rolls_over_at");
        var leftOut = keys.OptionalNumber("left_out");
        var noReading = keys.ListOf(
            "no_reading",
            item => double.TryParse(item.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) ? number : (double?)null);
        var comma = keys.Flag("decimal_comma");
        var leaf = LeafReader.Read(keys, problems);
        if (scale == 0)
            problems.Error(
                keys.Place("scale"),
                $"'scale' is 0, which would turn every reading into the same number",
                $"a number other than 0");
        SeriesPaths.Need(keys, "left_out", "path", $"a message that is only a number leaves nothing out", problems);
        SeriesPaths.Need(keys, "unit_path", "path", $"a message that is only a number names no unit elsewhere", problems);
        if (keys.Choice<Quantity>("quantity", Quantities.Word) is not { } quantity)
            return null;
        var word = quantity.Word();
        CheckFits(keys, word, counts, problems);
        var unit = QuantityUnits.Read(keys, word, UnitsOf(keys, quantity, counts));
        LeafReader.CheckUnit(keys, quantity, unit, problems);
        return topic is null
            ? null
            : new PlacedSeries(
                new SeriesMap
                {
                    SiteId = "",
                    Quantity = leaf.IsSheltered && quantity == Quantity.LeafWetness ? Quantity.LeafWetnessUnderShelter : quantity,
                    Label = keys.Text("name"),
                    Topic = topic,
                    Shape = shape,
                    Path = path,
                    TimePath = time,
                    Zone = zone,
                    UnitPath = unitPath,
                    Unit = unit,
                    UnitIsStated = keys.Has("unit"),
                    Scale = scale,
                    Offset = offset,
                    RainIsTotal = counts == "total",
                    RainIsRate = counts == "rate",
                    RollsOverAt = rollsOverAt,
                    LeftOut = leftOut,
                    NoReading = [.. noReading.Select(number => number!.Value)],
                    DecimalComma = comma,
                    BatteryPath = battery.Path,
                    BatteryLow = battery.Low,
                    WetWords = leaf.Words(quantity, unit).Wet,
                    DryWords = leaf.Words(quantity, unit).Dry,
                    Every = leaf.Every,
                },
                leaf.Scale,
                keys.Place("topic"));
    }

    private static string? Topic(SectionReader keys, ProblemList problems)
    {
        if (keys.Text("topic") is not { } topic)
            return null;
        if (TopicText.SensorFault(topic) is { } fault)
            problems.Error(
                keys.Place("topic"),
                $"'topic' cannot be {ProblemList.Quote(topic)}: {fault}",
                $"the one topic this sensor publishes to");
        return topic;
    }

    private static Yaml.YamlScalar? PerHour(SectionReader keys) =>
        keys.Node("unit") is Yaml.YamlScalar { Value: "mm/h" or "in/h" } unit ? unit : null;

    private static IReadOnlyList<UnitWord> UnitsOf(SectionReader keys, Quantity quantity, string? counts) =>
        quantity == Quantity.Rain && (counts == "rate" || PerHour(keys) is not null)
            ? UnitWord.PerHour(quantity.Facts().Units)
            : UnitWord.Of(quantity.Facts().Units);

    private static void CheckFits(SectionReader keys, string word, string? counts, ProblemList problems)
    {
        if (word != "leaf-wetness")
            LeafReader.Refuse(keys, word, problems);
        foreach (var name in SeriesKeys.RainOnly.Where(name => word != "rain" && keys.Has(name)))
            problems.Error(
                keys.Place(name),
                $"'{new Name(name)}' has a meaning for rain only, and this series is {new Name(word)}",
                $"no '{new Name(name)}' here");
        if (word == "rain" && counts != "rate" && PerHour(keys) is { } perHour)
            problems.Error(
                perHour,
                $"'{new Name(perHour.Value)}' is how hard it rains, and this series counts amounts",
                $"'counts: rate' as well, or a unit of rain: mm, in");
        if (word == "rain" && keys.Has("rolls_over_at") && counts != "total")
            problems.Error(
                keys.Place("rolls_over_at"),
                $"'rolls_over_at' is there without 'counts: total': only a running total can begin again",
                $"'counts: total' as well, or no 'rolls_over_at'");
    }
}
