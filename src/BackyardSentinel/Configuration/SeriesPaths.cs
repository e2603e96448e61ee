using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Sensors;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads where a series' number and time stand in its messages.</summary>
internal static class SeriesPaths
{
    /// <summary>The path of the number and that of its time, or the names of them where the message is no JSON.</summary>
    public static (string? Path, string? Time) Read(SectionReader keys, MessageShape shape, ProblemList problems)
    {
        var isJson = shape == MessageShape.Json;
        var path = isJson ? PathKeys.Read(keys, "path", problems, mayBeEach: true) : keys.Text("path");
        var time = isJson ? PathKeys.Read(keys, "time", problems, mayBeEach: true) : keys.Text("time");
        if (!isJson && !keys.Has("path"))
            problems.Error(
                keys.Place("shape"),
                $"'shape: {new Name(shape.Word())}' is there without 'path': such a message has several values",
                shape == MessageShape.Senml
                    ? (Sentence)$"'path' with the full name of the record"
                    : $"'path' with the value's name, or its place such as '[0]'");
        if (isJson)
            Need(keys, "time", "path", $"a message that is only a number holds no time", problems);
        if (shape == MessageShape.Senml && keys.Has("time"))
            problems.Error(
                keys.Place("time"),
                $"'time' has no meaning with 'shape: senml': a record tells its time itself",
                $"no 'time' here");
        if (shape != MessageShape.Json && keys.Has("unit_path"))
            problems.Error(
                keys.Place("unit_path"), $"'unit_path' has no meaning with 'shape: {new Name(shape.Word())}'", $"no 'unit_path' here");
        Need(keys, "zone", "time", $"it is the zone of the sensor's own times", problems);
        if (time?.Contains("[*]", StringComparison.Ordinal) == true
            && (path is null ? !keys.Has("path") : !path.Contains("[*]", StringComparison.Ordinal)))
            problems.Error(
                keys.Place("time"),
                $"'time' stands for each entry of a list, but 'path' leads to one number",
                $"[*] in both, or in neither");
        return (path, time);
    }

    /// <summary>The path of the sensor's battery, and the number below which that is low.</summary>
    public static (string? Path, double Low) Battery(SectionReader keys, MessageShape shape, ProblemList problems)
    {
        var (path, low) = (PathKeys.Read(keys, "battery", problems), keys.OptionalNumber("battery_low"));
        if (shape != MessageShape.Json && keys.Has("battery"))
            problems.Error(keys.Place("battery"), $"'battery' has no meaning with 'shape: {new Name(shape.Word())}'", $"no 'battery' here");
        Need(keys, "battery", "path", $"a message that is only a number tells no battery", problems);
        Need(keys, "battery", "battery_low", $"nobody else knows when that number is low", problems);
        Need(keys, "battery_low", "battery", $"there is no battery to be low", problems);
        return (path, low ?? 0);
    }

    /// <summary>Says it as an error where a key stands without another that it needs.</summary>
    public static void Need(SectionReader keys, string name, string other, Sentence because, ProblemList problems)
    {
        if (keys.Has(name) && !keys.Has(other))
            problems.Error(
                keys.Place(name),
                $"'{new Name(name)}' is there without '{new Name(other)}': {because}",
                name == "time"
                    ? (Sentence)$"a 'path' to the number as well, or no 'time'"
                    : $"'{new Name(other)}' as well, or no '{new Name(name)}'");
    }
}
