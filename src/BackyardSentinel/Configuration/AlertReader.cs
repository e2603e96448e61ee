using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the part <c>alerts</c>.</summary>
internal static class AlertReader
{
    public static AlertSettings Read(YamlMapping? map, ProblemList problems)
    {
        if (map is null)
            return new AlertSettings();
        SectionReader keys = new(map, AlertKeys.Alerts, problems);
        Dictionary<string, YamlNode> ids = new(StringComparer.Ordinal);
        return new AlertSettings
        {
            Policy = new AlertPolicyOptions
            {
                LeastLevel = keys.Choice<Level>("least_level", LevelWords.Word)!.Value,
                MaxPerDay = keys.Whole("max_per_day"),
                Quiet = Quiet(keys, problems),
                SeverePassesQuiet = keys.Flag("severe_in_quiet"),
            },
            WordsPath = FileKeys.Path(keys, "words", problems),
            Heartbeat = SecretKeys.Address(keys, "heartbeat", problems),
            HeartbeatEvery = keys.Duration("heartbeat_every"),
            Receivers = [.. keys.List("send_to").Select(m => ReceiverReader.Read(m, ids, problems)).OfType<ReceiverSettings>()],
        };
    }

    private static QuietHours? Quiet(SectionReader keys, ProblemList problems)
    {
        var from = TimeOfDay(keys, "quiet_from", problems);
        var to = TimeOfDay(keys, "quiet_to", problems);
        if (keys.Has("quiet_from") != keys.Has("quiet_to"))
        {
            var (given, missing) = keys.Has("quiet_from") ? ("quiet_from", "quiet_to") : ("quiet_to", "quiet_from");
            problems.Error(
                keys.Place(given),
                $"there is '{new Name(given)}' without '{new Name(missing)}'; quiet hours have a start and an end",
                $"both keys or neither");
        }
        else if (from is not null && from == to)
            problems.Error(
                keys.Place("quiet_to"),
                $"'quiet_to' is the time of 'quiet_from', which could mean no quiet hour or all of them",
                $"two different times, or neither key");
        return from is { } begin && to is { } end && begin != end ? new QuietHours(begin, end) : null;
    }

    private static TimeOnly? TimeOfDay(SectionReader keys, string name, ProblemList problems)
    {
        if (keys.Scalar(name) is not { } scalar)
            return null;
        if (TimeOnly.TryParseExact(scalar.Value, "HH:mm", CultureInfo.InvariantCulture, DateTimeStyles.None, out var time))
            return time;
        problems.Error(
            scalar, $"'{new Name(name)}' is a time of day, but {ProblemList.Quote(scalar.Value)} cannot be read as one", keys.Range(name));
        return null;
    }
}
