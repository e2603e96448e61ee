using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>A series and where it stands in the file.</summary>
internal sealed record PlacedSeries(GardenSeries Series, YamlNode Place);

/// <summary>Reads one entry of <c>series</c>.</summary>
internal static class SeriesReader
{
    private static readonly string[] LeafOnly = ["wet_on", "wet_off", "inverted", "under_shelter"];

    /// <summary>The series, or <c>null</c> when quantity or topic are missing or wrong.</summary>
    public static PlacedSeries? Read(YamlMapping map, ProblemList problems)
    {
        SectionReader keys = new(map, SeriesKeys.Series, problems);
        var topic = Topic(keys, problems);
        var path = PathKeys.Read(keys, "path", problems);
        var time = PathKeys.Read(keys, "time", problems);
        var scale = keys.Number("scale");
        var offset = keys.Number("offset");
        var total = keys.Word("counts") == "total";
        var comma = keys.Flag("decimal_comma");
        var (on, off, inverted) = Limits(keys, problems);
        if (scale == 0)
            problems.Error(
                keys.Place("scale"),
                "'scale' is 0, which would turn every reading into the same number",
                "a number other than 0");
        if (time is not null && !keys.Has("path"))
            problems.Error(
                keys.Place("time"),
                "'time' is there without 'path': a message that is only a number holds no time",
                "a 'path' to the number as well, or no 'time'");
        if (keys.Choice<Quantity>("quantity", Quantities.Word) is not { } quantity)
            return null;
        var word = quantity.Word();
        CheckFits(keys, word, problems);
        var sheltered = keys.Flag("under_shelter") && quantity == Quantity.LeafWetness;
        var unit = QuantityUnits.Read(keys, word, quantity.Facts().Units);
        if (quantity == Quantity.LeafWetness && unit == Unit.Count && !keys.Has("wet_on"))
            problems.Note(
                keys.Place("unit"),
                "counts without 'wet_on' are compared with 50, which a sensor that counts 0 to 15 never reaches: its leaf would never be wet",
                "'wet_on' with the count at which your sensor's leaf is wet, such as 7 of 15");
        return topic is null
            ? null
            : new PlacedSeries(
                new GardenSeries
                {
                    Quantity = sheltered ? Quantity.LeafWetnessUnderShelter : quantity,
                    Name = keys.Text("name"),
                    Topic = topic,
                    Path = path,
                    TimePath = time,
                    Unit = unit,
                    UnitIsStated = keys.Has("unit"),
                    Scale = scale,
                    Offset = offset,
                    CountsTotal = total,
                    DecimalComma = comma,
                    WetOn = on,
                    WetOff = off,
                    Inverted = inverted,
                },
                keys.Place("topic"));
    }

    private static string? Topic(SectionReader keys, ProblemList problems)
    {
        if (keys.Text("topic") is not { } topic)
            return null;
        if (TopicText.Fault(topic) is { } fault)
            problems.Error(
                keys.Place("topic"),
                $"'topic' cannot be {ProblemList.Quote(topic)}: {fault}",
                "the one topic this sensor publishes to");
        return topic;
    }

    /// <summary>The wetness limits. A limit off left out beside a limit on means one limit for both ways.</summary>
    private static (double On, double Off, bool Inverted) Limits(SectionReader keys, ProblemList problems)
    {
        var inverted = keys.Flag("inverted");
        var on = keys.Number("wet_on");
        var off = keys.Has("wet_off") || !(keys.Has("wet_on") || inverted) ? keys.Number("wet_off") : on;
        if (inverted && !keys.Has("wet_on"))
            problems.Error(
                keys.Place("inverted"),
                "'inverted' is there without 'wet_on', and the usual limits make no sense for a sensor that falls when wet",
                "'wet_on' with the value at which your sensor's leaf is wet");
        else if (inverted ? off < on : off > on)
            problems.Error(keys.Place("wet_off"), inverted
                ? "'wet_off' is below 'wet_on', but an inverted sensor rises when it dries, so it could never turn dry properly"
                : "'wet_off' is above 'wet_on', so the leaf would turn dry before it turned wet", SeriesKeys.Series["wet_off"].Range);
        return (on, off, inverted);
    }

    private static void CheckFits(SectionReader keys, string word, ProblemList problems)
    {
        if (word != "leaf-wetness")
        {
            foreach (var name in LeafOnly.Where(keys.Has))
                problems.Error(
                    keys.Place(name),
                    $"'{name}' has a meaning for leaf wetness only, and this series is {word}",
                    $"no '{name}' here");
        }

        if (word != "rain" && keys.Has("counts"))
            problems.Error(keys.Place("counts"), $"'counts' has a meaning for rain only, and this series is {word}", "no 'counts' here");
    }
}
