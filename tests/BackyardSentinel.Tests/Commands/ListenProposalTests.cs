using System.CommandLine;
using System.Text.Json;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Listen;
using BackyardSentinel.Contract;
using BackyardSentinel.Sensors;
using BackyardSentinel.Tests.Sensors;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tests.Commands;

/// <summary>What listen proposes for the seventy shapes of messages can be pasted into a garden file and reads the messages back.</summary>
public sealed class ListenProposalTests : IDisposable
{
    private static readonly DateTimeOffset Six = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("listen-").FullName;

    public static TheoryData<string> Shapes => [.. ShapeFixture.Names];

    public void Dispose() => Directory.Delete(_folder, true);

    private string GardenOf(string text)
    {
        var path = Path.Combine(_folder, "garden.yaml");
        File.WriteAllText(path, text);
        return path;
    }

    // The zone is that of sensors whose times tell none.
    private string Empty => GardenOf(
        "broker:\n  topic_root: elsewhere\n  homie: false\nsites:\n  - id: yard\n    zone: Europe/London\n    series:\n"
            + "      - { quantity: temperature, topic: beside/t }\n      - { quantity: humidity, topic: beside/h }\n");

    private static (int Code, string Output, string Error) Run(params string[] words)
    {
        StringWriter output = new(CultureInfo.InvariantCulture), error = new(CultureInfo.InvariantCulture);
        var code = ListenCommand
            .Create(new FakeTimeProvider(Six))
            .Parse(words)
            .Invoke(new InvocationConfiguration { Output = output, Error = error, EnableDefaultExceptionHandler = false });
        return (code, output.ToString(), error.ToString());
    }

    [Fact]
    public async Task Where_more_comes_than_is_kept_that_is_said()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var broker = await EmbeddedBroker.StartAsync();
        using var hub = await Peer.ConnectAsync(broker.Port);
        for (var i = 0; i < 2100; i++)
            await hub.PublishAsync($"hall/{i}", "7", retain: true);

        var all = await Task.Run(() => Run("--broker", $"127.0.0.1:{broker.Port}", "--garden", Empty, "--for", "5s"), ct);
        var part = await Task.Run(
            () => Run("--broker", $"127.0.0.1:{broker.Port}", "--garden", Empty, "--for", "1s", "--topic", "hall/7", "--json"), ct);

        Assert.Contains(
            "\n# More came than is told here, and a sensor of yours may be missing: listen to part of it,",
            all.Output,
            StringComparison.Ordinal);
        Assert.False(JsonSerializer.Deserialize(part.Output, ContractJson.Printed.ListenDocument)!.Truncated);
    }

    private ListenDocument Of(string topic, string payload)
    {
        var (code, output, error) = Run("--garden", Empty, "--topic", topic, $"--payload={payload}", "--json");
        Assert.True(code == ExitCode.Done, error);
        Assert.True(SchemaTests.Holds("listen", output), output);
        return JsonSerializer.Deserialize(output, ContractJson.Printed.ListenDocument)!;
    }

    private ProposedSeries One(string topic, string payload) => Assert.Single(Of(topic, payload).Proposed);

    /// <summary>The garden with the printed blocks in it, as its owner would paste them.</summary>
    private static GardenFile Pasted(IEnumerable<ProposedSeries> proposals)
    {
        var series = string.Concat(proposals.SelectMany(one => one.Block.TrimEnd().Split('\n')).Select(line => $"      {line}\n"));
        var (garden, problems) = GardenFileReader.ReadText(
            "pasted.yaml",
            $"broker:\n  topic_root: elsewhere\n  homie: false\nsites:\n  - id: yard\n    series:\n{series}"
                + "      - { quantity: temperature, topic: beside/t }\n      - { quantity: humidity, topic: beside/h }\n");
        Assert.True(garden is not null, string.Join('\n', problems) + series);
        Assert.DoesNotContain(problems, problem => !problem.IsNote);
        return garden;
    }

    [Theory]
    [MemberData(nameof(Shapes))]
    public void Every_proposal_of_a_shape_passes_check_and_reads_the_message_back(string name)
    {
        var payloads = ShapeFixture.Load(name).SelectMany(fixture => fixture.Payloads);
        foreach (var (_, payload) in payloads.Where(one => one.Payload.Length is > 0 and < 10_000).Take(40))
        {
            var text = Encoding.UTF8.GetString(payload);
            foreach (var topic in (string[])["yard/s", "garden/air/temperature", "garden/rain", "garden/leaf/wet"])
            {
                var document = Of(topic, text);
                Assert.All(document.Others, other => Assert.NotEmpty(other.Reason));
                if (document.Proposed.Count == 0)
                    continue;
                var result = new PayloadMap(Pasted(document.Proposed).Series).Read(topic, Encoding.UTF8.GetBytes(text), Six, false);
                foreach (var one in document.Proposed)
                {
                    var read = result.Readings.Where(reading => reading.Series.Path == one.Path).ToList();
                    if (one.Counts is RainCount.Total or RainCount.Rate)
                        Assert.All(read, reading => Assert.InRange(reading.Reading.Value, 0, 1000));
                    else
                        Assert.Equal(one.Gives!.Value, Assert.Single(read.TakeLast(1)).Reading.Value, 3);
                }
            }
        }
    }

    [Theory]
    [InlineData("garden/air", """{"t":21.5,"h":81}""", "temperature@t=21.5 humidity@h=81")]
    [InlineData("garden/air", """{"up":{"at":"2027-03-01T05:58:12.123456789Z","obj":{"tempC":21.5,"battery":3}}}""", "temperature@up.obj.tempC=21.5")]
    [InlineData("garden/air", """[{"k":"temp","v":21.5},{"k":"hum","v":81}]""", "temperature@[k=temp].v=21.5 humidity@[k=hum].v=81")]
    [InlineData("garden/air", """{"s":[{"at":1803880500,"t":21.2},{"at":1803880200,"t":21.5}]}""", "temperature@s[*].t=21.2")]
    [InlineData("garden/air", """{"s":[{"x":"2027-03-01 05:55","t":21.2},{"x":"2027-03-01 05:50","t":21.5}]}""", "temperature@s[*].t=21.2")]
    [InlineData("garden/air", """{"rows":[["2027-03-01T05:55Z",21.2],["2027-03-01T05:50Z",21.5]]}""", "")]
    [InlineData("garden/air/temp", """{"at":[1803880200,1803880500],"v":[3.5,3.75]}""", "temperature@v[*]=3.75")]
    [InlineData("garden/air", """{"t":70.7,"h":81,"units":{"t":"°F"}}""", "temperature@t=21.5 humidity@h=81")]
    [InlineData("x", """[{"bn":"wall/","n":"t","u":"Cel","v":7.5},{"n":"h","u":"%RH","v":88}]""", "temperature@wall/t=7.5 humidity@wall/h=88")]
    [InlineData("x", "T=21,5;H=81", "temperature@T=21.5 humidity@H=81")]
    [InlineData("x", "air+temp=21.5%20C&x=1", "temperature@air temp=21.5")]
    [InlineData("homie/5/wall/air/temperature", "21.5", "temperature@=21.5")]
    [InlineData("garden/rain_mm", "0.2", "rain@=0.2")]
    [InlineData("garden/leaf", """{"wet":"dry","rssi":-70}""", "leaf-wetness@wet=0")]
    [InlineData("garden/wind", """{"wind_km_h":36,"wind_dir":270,"gust":50}""", "wind-speed@wind_km_h=10")]
    [InlineData("garden/soil/temperature", "9", "")]
    [InlineData("garden/x", "21.5", "")]
    [InlineData("garden/air/temperature/set", "21.5", "")]
    [InlineData("elsewhere/yard/weather", """{"temperature_c":9}""", "")]
    public void A_message_gives_these_series(string topic, string payload, string expected) =>
        Assert.Equal(
            expected,
            string.Join(
                ' ',
                Of(topic, payload).Proposed.Select(
                    one =>
                        string.Create(
                            CultureInfo.InvariantCulture, $"{Garden.Quantities.Word(one.Quantity)}@{one.Path}={one.Gives:0.##}"))));

    [Fact]
    public void How_sure_it_is_depends_on_name_unit_and_range()
    {
        Assert.Equal(Sureness.Sure, One("garden/air/temperature", "21.5 °C").Sureness);
        Assert.Equal(Sureness.Likely, One("garden/air/temperature", "21.5").Sureness);
        Assert.Equal(Sureness.Guess, One("garden/x", "21.5 °C").Sureness);
        var warm = One("garden/air/temperature", "70.7");
        Assert.Equal((Sureness.Guess, "°F", 21.5), (warm.Sureness, warm.Unit, warm.Gives));
        Assert.Contains(One("garden/air/temperature", "41").Doubts, doubt => doubt.Contains("unit: °F", StringComparison.Ordinal));
    }

    [Fact]
    public void A_message_of_a_series_in_the_garden_file_shows_what_it_gives_or_why_nothing()
    {
        var good = Of("beside/t", "8.5");
        Assert.Empty(good.Proposed);
        Assert.Equal(8.5, Assert.Single(good.Read).Value);
        var warm = Assert.Single(Of("beside/t", "77").Read);
        Assert.Contains(warm.Remarks, remark => remark.Contains("is the unit °F?", StringComparison.Ordinal));
        Assert.Contains(
            Assert.Single(Of("beside/t", "tepid").Read).Remarks, remark => remark.Contains("not a number", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("--for", "1d", "is not a time from 1s to 24h")]
    [InlineData("--broker", "host:99999", "is not a port from 1 to 65535")]
    [InlineData("--topic", "garden/#/air", "is no topic filter")]
    public void What_cannot_be_asked_gets_a_sentence(string option, string value, string sentence)
    {
        var (code, output, error) = Run("--garden", Empty, option, value);
        Assert.NotEqual(ExitCode.Done, code);
        Assert.Contains(sentence, output + error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task It_hears_a_broker_and_tells_kept_copies_from_live_messages_and_leaves_the_programs_own_out()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var broker = await EmbeddedBroker.StartAsync();
        var garden = GardenOf(File.ReadAllText(Empty).Replace("broker:\n", $"broker:\n  port: {broker.Port}\n", StringComparison.Ordinal));
        using var hub = new MQTTnet.MqttClientFactory().CreateMqttClient();
        await hub.ConnectAsync(new MQTTnet.MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), ct);
        async Task SendAsync(string topic, string text, bool keep) =>
            await hub.PublishAsync(
                new MQTTnet.MqttApplicationMessageBuilder().WithTopic(topic).WithPayload(text).WithRetainFlag(keep).Build(), ct);
        await SendAsync("garden/kept/temperature", "7.5 °C", keep: true);
        await SendAsync("elsewhere/state", "{}", keep: true);
        // Another service of this kind on the broker, under a topic root of its own.
        await SendAsync("north/yard/weather", """{"temperature_c":8.1}""", keep: true);
        await SendAsync("north/state", """{"state":"watching","since":"2027-03-01T05:00:00Z"}""", keep: true);
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(ct);
        var sending = Task.Run(
            async () =>
            {
                // Until it has been heard, however slow the machine is.
                while (!stop.IsCancellationRequested)
                {
                    await SendAsync("garden/air", """{"temp":8,"hum":90}""", keep: false);
                    await Task.Delay(50, stop.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
                }
            },
            ct);
        var (code, output, error) = await Task.Run(() => Run("--garden", garden, "--for", "3s", "--json"), ct);
        await stop.CancelAsync();
        await sending;
        Assert.True(code == ExitCode.Done, error);
        var document = JsonSerializer.Deserialize(output, ContractJson.Printed.ListenDocument)!;
        Assert.True(SchemaTests.Holds("listen", output), output);
        Assert.Equal(1, document.OwnTopics);
        var kept = Assert.Single(document.Proposed, one => one.Topic == "garden/kept/temperature");
        Assert.Equal(kept.Messages, kept.Retained);
        Assert.Contains(kept.Doubts, doubt => doubt.Contains("kept copy only", StringComparison.Ordinal));
        Assert.Equal(0, Assert.Single(document.Proposed, one => one.Path == "temp").Retained);
        Assert.DoesNotContain("north/", output, StringComparison.Ordinal);
    }
}
