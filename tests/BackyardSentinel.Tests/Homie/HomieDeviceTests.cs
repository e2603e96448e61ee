using System.Text.Json;
using BackyardSentinel.Demo;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Homie;

/// <summary>Against the Homie convention, version 5, by a validator written from its text.</summary>
public sealed class HomieDeviceTests
{
    private static readonly DateTimeOffset Started = new(2027, 1, 31, 23, 0, 0, TimeSpan.Zero);

    private static readonly Site South = new()
    {
        Id = "south-wall",
        Plantings = [new Planting("white-peach", Stage: 9), new Planting("gate-nectarine", TreeKind.Nectarine)],
    };

    private static SiteWatch Watch(Site? site = null) => new(site ?? South, _ => { }, []);

    private static void Feed(SiteWatch watch, DateTimeOffset at)
    {
        if (DemoWeather.At(at) is { } sample)
        {
            watch.Accept(new Reading(Quantity.Temperature, at, sample.TemperatureC), at);
            watch.Accept(new Reading(Quantity.Humidity, at, sample.HumidityPct), at);
            watch.Accept(new Reading(Quantity.Rain, at, sample.RainMm), at);
        }

        watch.AdvanceTo(at);
    }

    private static List<(string Topic, byte[] Payload)> Season(HomieDevice device, SiteWatch watch)
    {
        var told = new List<(string, byte[])>();
        void Take(IEnumerable<OutgoingMessage> messages) => told.AddRange(messages.Select(one => (one.Topic, one.Payload.ToArray())));
        told.Add((device.Presence.Topic, device.Presence.Birth(Started).ToArray()));
        Take(device.Messages([watch]));
        told.Add((device.Presence.Topic, device.Presence.AllSent!.Value.ToArray()));
        for (var at = DemoWeather.Begin; at < DemoWeather.End; at += DemoWeather.Step)
        {
            Feed(watch, at);
            Take(device.Messages([watch]));
        }

        Take(device.Troubles([("south-wall/humidity", "The humidity sensor of south-wall is silent.")]));
        Take(device.Troubles([]));
        told.Add((device.Presence.Topic, device.Presence.Goodbye(DemoWeather.End).ToArray()));
        return told;
    }

    private static List<string> Faults(IEnumerable<(string Topic, byte[] Payload)> told)
    {
        var validator = new HomieValidator("homie", "backyard-sentinel");
        foreach (var (topic, payload) in told) validator.Take(topic, payload, retained: true);
        return validator.Faults;
    }

    private static string Last(IEnumerable<(string Topic, byte[] Payload)> told, string end) =>
        Encoding.UTF8.GetString(told.Last(one => one.Topic.EndsWith(end, StringComparison.Ordinal)).Payload);

    [Fact]
    public void A_season_breaks_no_rule_of_the_convention_and_meets_several_levels()
    {
        var told = Season(new HomieDevice("backyard-sentinel", [South], Started), Watch());
        Assert.Empty(Faults(told));
        var levels = told.Where(one => one.Topic == "homie/5/backyard-sentinel/south-wall-white-peach/level")
            .Select(one => Encoding.UTF8.GetString(one.Payload))
            .ToList();
        Assert.Equal("unknown", levels[0]);
        Assert.Superset(new HashSet<string> { "unknown", "clear", "building", "likely" }, levels.ToHashSet());
        Assert.DoesNotContain(levels.Zip(levels.Skip(1)), pair => pair.First == pair.Second);
    }

    [Fact]
    public void Values_are_those_of_the_watch()
    {
        var watch = Watch();
        var told = Season(new HomieDevice("backyard-sentinel", [South], Started), watch);
        var last = watch.LastInterval!.Value;
        Assert.Equal(last.TemperatureC!.Value, double.Parse(Last(told, "/south-wall/temperature"), CultureInfo.InvariantCulture), 0.0005);
        Assert.Equal(last.End, DateTimeOffset.Parse(Last(told, "/south-wall/as-of"), CultureInfo.InvariantCulture));
        Assert.Equal(((int)watch.Risks[0].Level).ToString(CultureInfo.InvariantCulture), Last(told, "white-peach/level-number"));
        Assert.Equal("9", Last(told, "white-peach/stage"));
        Assert.Equal("none", Last(told, "white-peach/cover"));
    }

    [Fact]
    public void A_missing_value_deletes_its_topic_and_an_empty_text_is_one_zero_byte()
    {
        var told = new HomieDevice("backyard-sentinel", [South], Started).Messages([Watch()]);
        OutgoingMessage Of(string end) => told.Single(one => one.Topic.EndsWith(end, StringComparison.Ordinal));
        Assert.Equal(0, Of("south-wall/temperature").Payload.Length);
        Assert.Equal(0, Of("gate-nectarine/stage").Payload.Length);
        Assert.Equal("unknown"u8.ToArray(), Of("gate-nectarine/level").Payload.ToArray());
        Assert.Equal([0], Of("gate-nectarine/stage-doubt").Payload.ToArray());
    }

    [Theory]
    [InlineData(1e16, "10000000000000000")]
    [InlineData(-0.0001, "0")]
    [InlineData(-3.25, "-3.25")]
    [InlineData(double.NaN, null)]
    [InlineData(double.PositiveInfinity, null)]
    public void A_float_has_only_the_letters_the_convention_allows(double value, string? text)
    {
        Assert.Equal(text, HomieText.Figure(value));
        Assert.True(text is null || HomieValidator.IsLegal("float", null, text));
    }

    [Fact]
    public void Nothing_is_said_twice_and_a_later_start_has_a_higher_version()
    {
        var (device, watch) = (new HomieDevice("backyard-sentinel", [South], Started), Watch());
        var first = device.Messages([watch]);
        Assert.Empty(device.Messages([watch]));
        Assert.Single(device.Troubles([("x", "Silent.")]));
        Assert.Empty(device.Troubles([("x", "Silent.")]));
        Assert.Equal(2, device.Troubles([("y", "Stuck.")]).Count); // One shown, the other deleted.
        Assert.Equal(0, Assert.Single(device.Troubles([])).Payload.Length);
        Assert.Empty(device.Troubles([]));
        device.Found("homie/5/backyard-sentinel/$alert/left-by-an-earlier-run");
        device.Found("homie/5/backyard-sentinel/$alert/x");
        device.Found("homie/5/another/$alert/x");
        Assert.Equal(
            [("x", "Silent."), ("left-by-an-earlier-run", "")],
            device.Troubles([("x", "Silent.")]).Select(one => (one.Topic.Split('/')[^1], Encoding.UTF8.GetString(one.Payload.Span))));
        Assert.Empty(device.Troubles([("x", "Silent.")]));
        var again = new HomieDevice("backyard-sentinel", [South], Started.AddMinutes(1)).Messages([watch]);
        Assert.True(Version(again) > Version(first));
    }

    private static long Version(IReadOnlyList<OutgoingMessage> told) =>
        JsonDocument
            .Parse(told.Single(one => one.Topic.EndsWith("$description", StringComparison.Ordinal)).Payload)
            .RootElement.GetProperty("version")
            .GetInt64();

    [Fact]
    public void Ids_are_made_legal_and_kept_apart()
    {
        Site[] sites = [new() { Id = "a", Plantings = [new Planting("b-c")] }, new() { Id = "a-b", Plantings = [new Planting("c")] }];
        var device = new HomieDevice("Sentinel_1.Tannery Lane", sites, Started);
        Assert.StartsWith("sentinel-1-tannery-lane-", device.Id, StringComparison.Ordinal);
        var topics = device.Messages(sites.Select(site => Watch(site))).Select(one => one.Topic).ToList();
        Assert.Equal(topics.Count, topics.Distinct().Count());
        Assert.Contains($"homie/5/{device.Id}/a-b-c-2/level", topics);
    }

    [Theory]
    [InlineData("ren-1", "ren-1")]
    [InlineData("Ren_1", "ren-1-")]
    [InlineData("ren.1", "ren-1-")]
    [InlineData("***", "sentinel-")]
    public void Two_client_ids_never_make_one_device(string clientId, string start)
    {
        var id = new HomieDevice(clientId, [South], Started).Id;
        Assert.StartsWith(start, id, StringComparison.Ordinal);
        Assert.DoesNotContain(
            id,
            new[] { "ren-1", "Ren_1", "ren.1", "***" }
                .Where(other => other != clientId)
                .Select(other => new HomieDevice(other, [South], Started).Id));
        Assert.All(id, letter => Assert.Contains(letter, "abcdefghijklmnopqrstuvwxyz0123456789-"));
    }

    /// <summary>The validator finds each of these, so that its silence on ours says something.</summary>
    [Theory]
    [InlineData("$description", "\"5.0\"", "\"4.0\"")]
    [InlineData("$description", "\"version\":", "\"revision\":")]
    [InlineData("$description", "\"south-wall\":", "\"South_Wall\":")]
    [InlineData("$description", "\"datatype\":\"float\"", "\"datatype\":\"number\"")]
    [InlineData("$description", "unknown,clear", "clear,clear")]
    [InlineData("$description", "\"0:100\"", "\"0-100\"")]
    [InlineData("$description", "\"0:100\"", "\"0:10\"")]
    [InlineData("$description", "{\"homie\"", "\uFEFF{\"homie\"")]
    [InlineData("$description", "}}}}", "}}}")]
    [InlineData("$state", "init", "awake")]
    [InlineData("$state", "init", "ready")]
    [InlineData("/temperature", ".", ",")]
    [InlineData("/as-of", "T", " ")]
    [InlineData("/level", "clear", "Clear")]
    [InlineData("/uncertain", "false", "False")]
    [InlineData("/level-number", "3", "7")]
    public void The_validator_finds_a_breach(string topicEnd, string right, string wrong)
    {
        var told = Season(new HomieDevice("backyard-sentinel", [South], Started), Watch());
        var broken = told.Select(one =>
                one.Topic.EndsWith(topicEnd, StringComparison.Ordinal)
                    ? (
                        one.Topic,
                        Encoding.UTF8.GetBytes(Encoding.UTF8.GetString(one.Payload).Replace(right, wrong, StringComparison.Ordinal)))
                    : one)
            .ToList();
        Assert.Contains(told.Zip(broken), pair => !pair.First.Payload.AsSpan().SequenceEqual(pair.Second.Item2));
        Assert.NotEmpty(Faults(broken));
    }

    [Fact]
    public void The_validator_finds_breaches_of_order_topic_and_retention()
    {
        var told = Season(new HomieDevice("backyard-sentinel", [South], Started), Watch());
        Assert.NotEmpty(Faults(told.Where(one => !one.Topic.EndsWith("$description", StringComparison.Ordinal))));
        Assert.NotEmpty(Faults(told.Where(one => !one.Topic.EndsWith("/rain", StringComparison.Ordinal))));
        Assert.NotEmpty(Faults([.. told, ("homie/5/backyard-sentinel/south-wall/wind", "1"u8.ToArray())]));
        Assert.NotEmpty(Faults([.. told, ("homie/5/backyard-sentinel/$alert/No_Power", "x"u8.ToArray())]));
        Assert.NotEmpty(Faults([.. told, ("homie/5/backyard-sentinel/south-wall/temperature", [0xFF])]));
        var validator = new HomieValidator("homie", "backyard-sentinel");
        validator.Take("homie/5/backyard-sentinel/$state", "init"u8, retained: false);
        Assert.NotEmpty(validator.Faults);
    }

    /// <summary>Payloads by the rules of the convention; the duration and the limits with a minus are its own examples.</summary>
    [Theory]
    [InlineData("duration", null, "PT12H5M46S", true)]
    [InlineData("duration", null, "PT5M", true)]
    [InlineData("float", "-20:120", "21.5", true)]
    [InlineData("float", "10.123:15.123", "15.2", false)]
    [InlineData("float", null, "NaN", false)]
    [InlineData("integer", ":10", "11", false)]
    [InlineData("integer", null, "-", false)]
    [InlineData("boolean", null, "TRUE", false)]
    [InlineData("enum", "car", "Car", false)]
    public void The_validator_agrees_with_the_convention_s_examples(string dataType, string? format, string text, bool legal) =>
        Assert.Equal(legal, HomieValidator.IsLegal(dataType, format, text));
}
