using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the part <c>forecast</c>.</summary>
internal static class ForecastSettingsReader
{
    // Which keys belong to which kinds.
    private static readonly (string Key, ForecastWay[] Kinds, bool Required)[] OfKinds =
    [
        ("url", [ForecastWay.Http], true),
        ("contact", [ForecastWay.Http], true),
        ("headers", [ForecastWay.Http], false),
        ("allow_private", [ForecastWay.Http], false),
        ("topic", [ForecastWay.Mqtt], true),
        ("path", [ForecastWay.File], true),
        ("every", [ForecastWay.Http, ForecastWay.File], false),
    ];

    private static readonly string[] OfShapes = ["rows", "time", "value", "zone", "issued"];

    public static ForecastSettings? Read(YamlMapping? map, OwnTopics own, ProblemList problems)
    {
        if (map is null)
            return null;
        SectionReader keys = new(map, ForecastKeys.Forecast, problems);
        var kind = keys.Choice<ForecastWay>("kind", ForecastWayWords.Word);
        var shape = keys.Choice<ForecastShape>("shape", ForecastShapeWords.Word);
        var forecast = new ForecastSettings
        {
            Kind = kind ?? default,
            Url = SecretKeys.Address(keys, "url", problems),
            Topic = Topic(keys, problems),
            Path = FileKeys.Path(keys, "path", problems, $"until there is, nothing is said about the coming days"),
            Every = keys.Duration("every"),
            Contact = Contact(keys, problems),
            Headers = ReceiverReader.Headers(keys.List("headers"), problems),
            AllowPrivate = keys.Flag("allow_private"),
            Map = Map(keys, shape, problems),
        };
        if (forecast.Topic is { } topic)
            own.Check(topic, keys.Place("topic"), problems);
        if (kind is { } way)
            CheckKind(keys, way, problems);
        CheckShape(keys, shape, problems);
        return forecast;
    }

    private static ForecastMap? Map(SectionReader keys, ForecastShape? shape, ProblemList problems)
    {
        var map = new ForecastMap
        {
            Shape = shape ?? ForecastShape.List,
            Source = keys.Text("source")!,
            Attribution = keys.Text("attribution"),
            Licence = keys.Text("licence"),
            Rows = PathKeys.Read(keys, "rows", problems),
            Time = PathKeys.Read(keys, "time", problems) ?? "time",
            Value = PathKeys.Read(keys, "value", problems) ?? "value",
            TimeZone = ZoneKeys.Read(keys, problems),
            Issued = PathKeys.Read(keys, "issued", problems),
            Quantities = ForecastQuantityReader.ReadAll(keys, shape, problems),
        };
        return shape is null ? null : map;
    }

    private static string? Topic(SectionReader keys, ProblemList problems)
    {
        if (keys.Text("topic") is not { } topic)
            return null;
        if (TopicText.Fault(topic, $"a forecast comes from one") is { } fault)
            problems.Error(
                keys.Place("topic"),
                $"'topic' cannot be {ProblemList.Quote(topic)}: {fault}",
                $"the one topic the forecast is published to");
        return topic;
    }

    private static string? Contact(SectionReader keys, ProblemList problems)
    {
        var contact = keys.Text("contact");
        // It travels inside a comment of the User-Agent header, where these have a meaning of their own (RFC 9110).
        if (contact is not null && contact.Any(c => c is < ' ' or > '~' or '(' or ')' or '\\'))
            problems.Error(
                keys.Place("contact"),
                $"'contact' holds a character that a request cannot carry there: {ProblemList.Quote(contact)}",
                keys.Range("contact"));
        return contact;
    }

    private static void CheckKind(SectionReader keys, ForecastWay kind, ProblemList problems)
    {
        foreach (var (key, kinds, required) in OfKinds)
        {
            if (keys.Has(key) && !kinds.Contains(kind))
                problems.Error(
                    keys.Place(key),
                    $"'{new Name(key)}' has a meaning with kind {Alternatives(kinds)}, and the kind is {new Name(kind.Word())}",
                    $"no '{new Name(key)}' here");
            else if (required && !keys.Has(key) && kinds.Contains(kind))
                problems.Error(
                    keys.Place("kind"),
                    $"a forecast by {new Name(kind.Word())} needs the key '{new Name(key)}', which is missing",
                    keys.Range(key));
        }
    }

    private static Sentence Alternatives(ForecastWay[] kinds) => kinds.Length == 1
        ? Sentence.Of(kinds[0].Word())
        : $"{Sentence.Names(kinds.SkipLast(1).Select(ForecastWayWords.Word))} or {new Name(kinds[^1].Word())}";

    private static void CheckShape(SectionReader keys, ForecastShape? shape, ProblemList problems)
    {
        if (keys.Has("shape") != keys.Has("quantities"))
        {
            var (given, missing) = keys.Has("shape") ? ("shape", "quantities") : ("quantities", "shape");
            problems.Error(
                keys.Place(given),
                $"there is '{new Name(given)}' without '{new Name(missing)}'; a source's numbers are found by both",
                $"both keys, or neither where the source writes the program's own form");
        }
        else if (!keys.Has("shape") && OfShapes.FirstOrDefault(keys.Has) is { } unused)
            problems.Error(
                keys.Place(unused),
                $"'{new Name(unused)}' tells where something is in a source's message, and without 'shape' the message is in the program's "
                    + $"own form",
                $"'shape' and 'quantities' as well, or no '{new Name(unused)}'");
        if (keys.Has("value") && shape is { } other and not ForecastShape.Layers)
            problems.Error(
                keys.Place("value"),
                $"'value' has a meaning for layers only, and the shape is {new Name(other.Word())}",
                $"no 'value' here");
        if (shape == ForecastShape.Senml && keys.Has("time"))
            problems.Error(keys.Place("time"), $"SenML has a place of its own for the time", $"no 'time' here");
    }
}
