using BackyardSentinel.Alerting;
using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;
using YamlDotNet.RepresentationModel;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>
/// An invented series of a garden file with the messages that it gets, read as the service reads them: garden file, payload map,
/// quality control, watch of the sensors. What comes of it is written down, a line each.
/// </summary>
internal sealed class ShapeFixture(YamlMappingNode node)
{
    private static readonly DateTimeOffset Six = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    // A site needs a temperature and a humidity; these are never heard.
    private const string Beside = """
              - quantity: temperature
                topic: beside/t
              - quantity: humidity
                topic: beside/h

        """;

    public static string Folder => Checkout.Path("tests", "payloads", "sensors");

    public static IEnumerable<string> Names =>
        Directory.EnumerateFiles(Folder, "*.yaml").Select(path => Path.GetFileNameWithoutExtension(path)).Order(StringComparer.Ordinal);

    public static List<ShapeFixture> Load(string name)
    {
        YamlStream stream = [];
        stream.Load(new StringReader(File.ReadAllText(Path.Combine(Folder, name + ".yaml"))));
        return [.. ((YamlSequenceNode)stream.Documents[0].RootNode).Select(node => new ShapeFixture((YamlMappingNode)node))];
    }

    /// <summary>Its series as they stand in a garden file.</summary>
    public string Series => Text(node, "series")!;

    /// <summary>The garden of the fixture.</summary>
    public GardenFile Garden()
    {
        var series = string.Concat(Series.TrimEnd('\n').Split('\n').Select(line => $"      {line}\n"));
        var (garden, problems) = GardenFileReader.ReadText(
            "fixture.yaml",
            $"broker:\n  topic_root: elsewhere\nsites:\n  - id: yard\n    series:\n{series}{Beside}");
        return garden ?? throw new InvalidOperationException(string.Join('\n', problems.Select(problem => problem.ToString())));
    }

    public IEnumerable<(string Topic, byte[] Payload)> Payloads =>
        Messages.SelectMany(message => Sent(message).Select(one => (one.Topic, one.Payload)));

    /// <summary>What comes of the messages.</summary>
    public string Run()
    {
        StringBuilder told = new();
        var garden = Garden();
        var maps = garden.Series;
        var map = new PayloadMap(maps);
        var watch = new SiteWatch(garden.Sites[0], _ => { });
        var own = maps.Where(one => !one.Topic.StartsWith("beside/", StringComparison.Ordinal));
        var pulse = new SensorWatch("yard", own.ToDictionary(one => one.Name, one => one.Quantity), Messages.SelectMany(Sent).First().At);
        foreach (var (topic, payload, at, retained, redelivered) in Messages.SelectMany(Sent))
        {
            told.Append(
                CultureInfo.InvariantCulture, $"{at:yyyy-MM-dd HH:mm:ss} {topic} {Shown(payload)}{(retained ? ", retained" : "")}\n");
            var result = map.Read(topic, payload, at, retained, redelivered);
            foreach (var remark in result.Remarks)
                told.Append(CultureInfo.InvariantCulture, $"    {Word(remark.Kind)}: {remark.Reason}\n");
            foreach (var (series, reading, _) in result.Readings)
            {
                var when = reading.Time == at ? "" : reading.Time.ToString("' at 'yyyy-MM-dd HH:mm:ss.FFF", CultureInfo.InvariantCulture);
                told.Append(CultureInfo.InvariantCulture, $"    {series.Quantity.Name()} {Figure(reading.Value)}{when}\n");
                var verdict = watch.Accept(reading, at);
                if (verdict == QualityVerdict.Clamped && QualityControl.Judge(reading.Quantity, reading.Value, out var taken) == verdict)
                    told.Append(CultureInfo.InvariantCulture, $"        counts as {Figure(taken)}\n");
                else if (verdict != QualityVerdict.Good)
                    told.Append(
                        CultureInfo.InvariantCulture,
                        $"        {QualityControl.Why(reading.Quantity, reading.Value, verdict, garden.Units)}\n");
                foreach (var trouble in pulse.Accept(series.Name, reading.Value, at))
                    told.Append(CultureInfo.InvariantCulture, $"        {trouble.GetType().Name}\n");
            }
        }

        return told.ToString();
    }

    private IEnumerable<YamlMappingNode> Messages => ((YamlSequenceNode)node.Children["messages"]).Select(one => (YamlMappingNode)one);

    private static IEnumerable<(
        string Topic, byte[] Payload, DateTimeOffset At, bool Retained, bool Redelivered)> Sent(YamlMappingNode message)
    {
        var payload = Text(message, "hex") is { } hex
            ? Convert.FromHexString(hex.Replace(" ", "", StringComparison.Ordinal))
            : Encoding.UTF8.GetBytes(
                Text(message, "before")
                + string.Concat(Enumerable.Repeat(Text(message, "send"), Number(message, "repeat", 1)))
                + Text(message, "after"));
        var at = Text(message, "at") is not { } moment ? Six
            : int.TryParse(moment, CultureInfo.InvariantCulture, out var minutes) ? Six.AddMinutes(minutes)
            : DateTimeOffset.Parse(moment, CultureInfo.InvariantCulture);
        for (var i = 0; i < Number(message, "times", 1); i++)
            yield return (
                Text(message, "topic") ?? "yard/s",
                payload,
                at.AddMinutes(i * Number(message, "every", 0)),
                Text(message, "retained") == "true",
                Text(message, "redelivered") == "true");
    }

    private static string Shown(byte[] payload)
    {
        var text = Encoding.UTF8.GetString(payload.AsSpan(0, Math.Min(payload.Length, 120)));
        text = string.Concat(text.Select(c => char.IsControl(c) ? '·' : c));
        return payload.Length <= 120 ? $"«{text}»" : $"«{text}…» ({payload.Length} bytes)";
    }

    private static string Figure(double value) => value.ToString(Math.Abs(value) < 1e9 ? "0.######" : "R", CultureInfo.InvariantCulture);

    private static string Word(RemarkKind kind) => kind switch
    {
        RemarkKind.Note => "note",
        RemarkKind.NoReading => "no reading",
        _ => "refused",
    };

    private static string? Text(YamlMappingNode map, string key) =>
        map.Children.TryGetValue(key, out var value) ? ((YamlScalarNode)value).Value : null;

    private static int Number(YamlMappingNode map, string key, int otherwise) =>
        Text(map, key) is { } text ? int.Parse(text, CultureInfo.InvariantCulture) : otherwise;
}
