using System.CommandLine;
using System.Text.Json;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Examine;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Proofs;
using BackyardSentinel.Tests.Delivery;

namespace BackyardSentinel.Tests.Commands;

public sealed class ExamineCommandTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2027, 3, 4, 12, 0, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("examine-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    private string In(string name) => Path.Combine(_folder, name);

    private string Garden(int port, string more = "")
    {
        File.WriteAllText(
            In("garden.yaml"),
            $"""
            broker:
              port: {port}
            store:
              path: sentinel.db
            {more}
            sites:
              - id: yard
                zone: Europe/Ljubljana
                latitude: 46.05
                longitude: 14.51
            {ProofGarden.SeriesAndTree}
            """);
        return In("garden.yaml");
    }

    private static ExamineDocument Examine(string garden, int expected)
    {
        StringWriter output = new(CultureInfo.InvariantCulture), error = new(CultureInfo.InvariantCulture);
        var code = ExamineCommand
            .Create(new FakeTimeProvider(Now))
            .Parse(["--garden", garden, "--for", "1s", "--json"])
            .Invoke(new InvocationConfiguration { Output = output, Error = error, EnableDefaultExceptionHandler = false });
        Assert.True(SchemaTests.Holds("examine", output.ToString()), output.ToString() + error);
        Assert.True(code == expected, output.ToString());
        return JsonSerializer.Deserialize(output.ToString(), ContractJson.Printed.ExamineDocument)!;
    }

    private static ExaminedThing One(ExamineDocument document, string check) => Assert.Single(document.Checks, one => one.Check == check);

    private static int FreePort()
    {
        using var probe = new System.Net.Sockets.TcpListener(System.Net.IPAddress.Loopback, 0);
        probe.Start();
        return ((System.Net.IPEndPoint)probe.LocalEndpoint).Port;
    }

    /// <summary>Readings each ten minutes of the last hours; celsius null: none of temperature.</summary>
    private void Stored(Func<int, double?> celsius, int hours, QuarantinedMessage? refused = null, int pause = 10)
    {
        using var store = SentinelStore.Open(In("sentinel.db"));
        var batch = new StoreBatch();
        for (var minute = -60 * hours; minute < 0; minute += pause)
        {
            var at = Now.AddMinutes(minute).ToUnixTimeMilliseconds();
            if (celsius(minute) is { } value)
                batch.Readings.Add(new StoredReading(store.SeriesId("yard/temperature/yard/t"), at, value, at * 1000));
            batch.Readings.Add(new StoredReading(store.SeriesId("yard/humidity/yard/h"), at, 80 + (minute % 7), at * 1000));
        }

        if (refused is not null)
            batch.Quarantine.Add(refused);
        store.Commit(batch);
    }

    [Fact]
    public void Without_broker_and_store_each_thing_is_said_with_what_to_do_and_nothing_is_written()
    {
        var garden = Garden(FreePort());
        var document = Examine(garden, ExitCode.BadInput);
        Assert.True(document.Checks.Count >= 25);
        Assert.Equal(document.Checks.Count, document.Checks.Select(one => one.Check).Distinct().Count());
        Assert.Equal(Finding.Wrong, One(document, "broker port").Result);
        Assert.Equal(Finding.Unknown, One(document, "broker login").Result);
        Assert.Equal(Finding.Look, One(document, "store").Result);
        Assert.Equal(Finding.Unknown, One(document, "sensors speak").Result);
        Assert.Equal(Finding.Look, One(document, "destinations").Result);
        Assert.All(document.Checks, one => Assert.True(one.Remedy is not null || one.Result is Finding.Fine or Finding.Unknown, one.Check));
        Assert.Equal(["garden.yaml"], Directory.EnumerateFileSystemEntries(_folder).Select(Path.GetFileName));
    }

    [Theory]
    [InlineData(null, "https://11.22.33.44/beat", Finding.Fine, "The address of the heartbeat can be looked up")]
    [InlineData(null, "http://192.168.1.5/beat", Finding.Wrong, "The address of the heartbeat, 192.168.1.5, is in your own network")]
    [InlineData(null, "file:missing", Finding.Wrong, "The address of the heartbeat cannot be had")]
    [InlineData("https://11.22.33.44/a", "http://127.0.0.1/beat", Finding.Wrong, "The address of the heartbeat, 127.0.0.1, is")]
    [InlineData("https://11.22.33.44/a", "https://11.22.33.44/beat", Finding.Fine, "The addresses of all webhooks and of the heartbeat")]
    [InlineData("https://11.22.33.44/a", null, Finding.Fine, "The addresses of all webhooks can be looked up")]
    [InlineData("http://10.0.0.9/a", "https://11.22.33.44/beat", Finding.Wrong, "phone leads to 10.0.0.9 in your own network")]
    [InlineData("http://10.0.0.9/a, allow_private: true", null, Finding.Fine, "The addresses of all webhooks can be looked up")]
    public void The_addresses_of_webhooks_and_of_the_heartbeat_are_looked_at(
        string? webhook, string? heartbeat, Finding result, string says)
    {
        var alerts = "alerts:\n"
            + (webhook is null ? "" : $"  send_to: [{{id: phone, kind: webhook, url: {webhook}}}]\n")
            + (heartbeat is null ? "" : $"  heartbeat: {heartbeat}\n");
        var found = One(Examine(Garden(FreePort(), alerts), ExitCode.BadInput), "addresses");

        Assert.Equal(result, found.Result);
        Assert.StartsWith(says, found.Says, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Beside_a_broker_it_tells_how_sensors_send_and_what_is_only_a_kept_copy()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var broker = await EmbeddedBroker.StartAsync();
        using var hub = new MQTTnet.MqttClientFactory().CreateMqttClient();
        await hub.ConnectAsync(new MQTTnet.MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), ct);
        await hub.PublishAsync(
            new MQTTnet.MqttApplicationMessageBuilder().WithTopic("yard/t").WithPayload("7").WithRetainFlag().Build(), ct);
        await hub.PublishAsync(
            new MQTTnet.MqttApplicationMessageBuilder()
                .WithTopic("sentinel/state")
                .WithPayload("""{"state":"watching","since":"2027-03-04T11:00:00Z"}""")
                .WithRetainFlag()
                .Build(),
            ct);
        var document = await Task.Run(() => Examine(Garden(broker.Port), ExitCode.Findings), ct);
        Assert.Equal(Finding.Fine, One(document, "broker login").Result);
        Assert.Equal(Finding.Fine, One(document, "service").Result);
        Assert.Equal(Finding.Look, One(document, "kept copies").Result);
        Assert.Contains("yard/t", One(document, "kept copies").Says, StringComparison.Ordinal);
        Assert.Equal(Finding.Look, One(document, "acknowledged").Result);
    }

    [Fact]
    public async Task A_service_that_runs_and_does_not_reach_the_broker_is_not_called_stopped()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var broker = await EmbeddedBroker.StartAsync();
        using var hub = await Peer.ConnectAsync(broker.Port);
        await hub.PublishAsync("sentinel/state", """{"state":"lost"}""", retain: true);
        Stored(_ => 5, 1);

        var stopped = await Task.Run(() => One(Examine(Garden(broker.Port), ExitCode.BadInput), "service"), ct);
        Assert.Equal("The service is not running: at the broker it is said to be stopped or lost.", stopped.Says);
        using var service = StoreLock.Hold(In("sentinel.db"));
        var running = await Task.Run(() => One(Examine(Garden(broker.Port), ExitCode.BadInput), "service"), ct);
        Assert.Equal(Finding.Wrong, running.Result);
        Assert.Equal("A service runs with this store, and at the broker it is said to be stopped or lost.", running.Says);
    }

    [Fact]
    public async Task A_sensor_that_can_be_heard_is_not_silent_because_the_service_has_only_just_begun()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var broker = await EmbeddedBroker.StartAsync();
        using var hub = new MQTTnet.MqttClientFactory().CreateMqttClient();
        await hub.ConnectAsync(new MQTTnet.MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), ct);
        Stored(minute => minute < -300 ? 5 + (minute % 3) : null, 10);
        var examining = Task.Run(() => Examine(Garden(broker.Port), ExitCode.Findings), ct);
        while (!examining.IsCompleted)
        {
            await hub.PublishAsync(new MQTTnet.MqttApplicationMessageBuilder().WithTopic("yard/t").WithPayload("7").Build(), ct);
            await Task.WhenAny(examining, Task.Delay(50, ct));
        }

        var speak = One(await examining, "sensors speak");
        Assert.Equal(Finding.Look, speak.Result);
        Assert.StartsWith("The broker has temperature on yard/t, the store has nothing", speak.Says, StringComparison.Ordinal);
    }

    [Fact]
    public void A_silent_sensor_is_wrong_and_a_refused_value_worth_a_look()
    {
        var at = Now.AddHours(-1).ToUnixTimeMilliseconds() * 1000;
        Stored(
            minute => minute < -300 ? 5 + (minute % 3) : null,
            10,
            new QuarantinedMessage("yard/t", $"temperature cannot be", at, "77"u8.ToArray()) { Value = 77 });
        var document = Examine(Garden(FreePort()), ExitCode.BadInput);
        Assert.Equal(Finding.Wrong, One(document, "sensors speak").Result);
        Assert.Contains("temperature on yard/t", One(document, "sensors speak").Says, StringComparison.Ordinal);
        Assert.DoesNotContain("yard/h", One(document, "sensors speak").Says, StringComparison.Ordinal);
        Assert.Contains("temperature cannot be", One(document, "refused").Says, StringComparison.Ordinal);
        Assert.Equal(Finding.Fine, One(document, "last message").Result);
        Assert.Equal(Finding.Fine, One(document, "clock").Result);
    }

    [Fact]
    public void A_temperature_that_has_been_heard_for_some_hours_only_is_not_called_stuck()
    {
        Stored(_ => 9, 5);
        Assert.Equal(Finding.Fine, One(Examine(Garden(FreePort()), ExitCode.BadInput), "stuck").Result);
    }

    [Theory]
    [InlineData(90, Finding.Fine)]
    [InlineData(180, Finding.Look)]
    public void Sensors_that_pause_for_longer_than_a_value_holds_are_worth_a_look(int minutes, Finding found)
    {
        Stored(minute => 5 + (minute % 3), 36, pause: minutes);
        var pauses = One(Examine(Garden(FreePort()), ExitCode.BadInput), "pauses");
        Assert.Equal(found, pauses.Result);
        Assert.Equal(found == Finding.Look, pauses.Says.Contains("90 minutes: temperature on yard/t", StringComparison.Ordinal));
    }

    [Fact]
    public void A_temperature_that_stands_still_or_can_only_be_fahrenheit_is_worth_a_look()
    {
        Stored(_ => 48, 30);
        var document = Examine(Garden(FreePort()), ExitCode.BadInput);
        Assert.Equal(Finding.Look, One(document, "stuck").Result);
        Assert.Contains("°F", One(document, "units").Says, StringComparison.Ordinal);
        Assert.DoesNotContain(document.Checks, one => (one.Says + one.Remedy).Contains("?.", StringComparison.Ordinal));
        Assert.Equal(Finding.Fine, One(document, "sensors speak").Result);
    }

    [Fact]
    public void A_secret_that_all_may_read_is_worth_a_look_and_one_that_is_missing_is_wrong()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("Files have no such modes there.");
            return;
        }

        File.WriteAllText(In("key"), "quince-and-medlar");
        const string Login = "  username: sentinel\n  password: file:key\n";
        var garden = Garden(FreePort());
        File.WriteAllText(garden, File.ReadAllText(garden).Replace("store:\n", Login + "store:\n", StringComparison.Ordinal));
        File.SetUnixFileMode(In("key"), UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.OtherRead);
        var open = Examine(garden, ExitCode.BadInput);
        Assert.Equal(Finding.Look, One(open, "secret files").Result);
        Assert.DoesNotContain(open.Checks, one => (one.Says + one.Remedy).Contains("quince", StringComparison.Ordinal));
        File.SetUnixFileMode(In("key"), UnixFileMode.UserRead | UnixFileMode.UserWrite);
        Assert.Equal(Finding.Fine, One(Examine(garden, ExitCode.BadInput), "secret files").Result);
        File.Delete(In("key"));
        Assert.Equal(Finding.Wrong, One(Examine(garden, ExitCode.BadInput), "secrets").Result);
    }

    [Fact]
    public void Words_of_the_growers_own_are_worth_a_look_where_they_lack_some_and_fine_where_they_are_a_few_changes()
    {
        var garden = Garden(FreePort(), "alerts: { words: own.liquid }");
        File.WriteAllText(In("own.liquid"), WordsText.English.Text.Replace("level.severe = severe\n", "", StringComparison.Ordinal));
        var words = One(Examine(garden, ExitCode.BadInput), "words");
        Assert.Equal(Finding.Look, words.Result);
        Assert.Contains("own.liquid lacks 1 line, for which the built-in words stand in", words.Says, StringComparison.Ordinal);
        Assert.Equal("Add the lines that check prints at the end of the file.", words.Remedy);
        File.WriteAllText(In("own.liquid"), "--- words\nlevel.severe = very bad\n");
        Assert.Equal(Finding.Fine, One(Examine(garden, ExitCode.BadInput), "words").Result);
    }

    [Fact]
    public async Task Whether_the_page_answers_is_told_while_a_service_runs()
    {
        await using var page = await HttpPeer.StartAsync(ct: TestContext.Current.CancellationToken);
        page.AnswerWith(503, "not well\n"); // It is the page that says so.
        string With(int port) => Garden(FreePort(), $"page: {{ port: {port} }}");
        Stored(_ => 5, 1);

        Assert.Equal(Finding.Unknown, One(Examine(With(page.Url.Port), ExitCode.BadInput), "page").Result);
        using var service = StoreLock.Hold(In("sentinel.db"));
        Assert.Equal(Finding.Fine, One(Examine(With(page.Url.Port), ExitCode.BadInput), "page").Result);
        var silent = One(Examine(With(FreePort()), ExitCode.BadInput), "page");
        Assert.Equal(Finding.Wrong, silent.Result);
        Assert.Contains("sentinel.db.page-keys", silent.Remedy, StringComparison.Ordinal);
        Assert.Equal(Finding.Fine, One(Examine(Garden(FreePort()), ExitCode.BadInput), "page").Result);
    }

    [Fact]
    public void A_garden_file_that_cannot_be_used_is_one_thing_that_is_wrong()
    {
        var garden = Garden(FreePort(), "stor: {}");
        var document = Examine(garden, ExitCode.BadInput);
        Assert.Equal(Finding.Wrong, Assert.Single(document.Checks).Result);
        Assert.StartsWith("The garden file cannot be used: 'stor' is not a key", document.Checks[0].Says, StringComparison.Ordinal);
    }

    [Fact]
    public void Whether_a_service_has_the_store_and_when_it_was_copied_and_how_far_back_it_reaches_is_told()
    {
        Stored(_ => 5, 24 * 130);
        var garden = Garden(FreePort());
        var alone = Examine(garden, ExitCode.BadInput);
        Assert.Equal(
            ("No service has the store open, so nothing is stored now.", Finding.Look),
            (One(alone, "store lock").Says, One(alone, "store lock").Result));
        Assert.Equal(("The store knows of no copy of itself.", Finding.Look), (One(alone, "backup").Says, One(alone, "backup").Result));
        Assert.Equal("Readings are kept for 5 years; the first is of 2026-10-25, so none has grown old.", One(alone, "old readings").Says);
        Assert.Equal("The garden file has all series of which the store has readings.", One(alone, "old series").Says);
        Assert.False(File.Exists(In("sentinel.db.lock")));

        StoreBackup.Write(In("sentinel.db"), In("copy.db"), Now.AddDays(-3));
        using (var store = SentinelStore.Open(In("sentinel.db")))
        {
            while (store.GrowOld(Now.AddDays(-100), 0, (_, value) => value))
            {
            }

            store.SeriesId("yard/rain/attic/gauge");
        }

        using var held = StoreLock.Hold(In("sentinel.db"));
        var document = Examine(garden, ExitCode.BadInput);
        Assert.Equal("A service on this computer has the store open.", One(document, "store lock").Says);
        Assert.Equal(
            "The store was last copied away 3 days 0 h ago; whether that copy is still there is not to be seen from here.",
            One(document, "backup").Says);
        Assert.Equal(
            "Readings are kept for 5 years; of the time before 2026-11-24 there are hourly values.", One(document, "old readings").Says);
        Assert.Equal(
            "The store has readings of yard/rain/attic/gauge, which the garden file does not have: they do not count.",
            One(document, "old series").Says);
    }

    [Fact]
    public async Task What_the_broker_says_it_has_dropped_is_worth_a_look()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var broker = await EmbeddedBroker.StartAsync();
        Assert.Equal(
            Finding.Unknown, One(await Task.Run(() => Examine(Garden(broker.Port), ExitCode.Findings), ct), "broker dropped").Result);
        using var hub = new MQTTnet.MqttClientFactory().CreateMqttClient();
        await hub.ConnectAsync(new MQTTnet.MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), ct);
        await hub.PublishAsync(
            new MQTTnet.MqttApplicationMessageBuilder()
                .WithTopic("$SYS/broker/publish/messages/dropped")
                .WithPayload("17")
                .WithRetainFlag()
                .Build(),
            ct);
        var document = await Task.Run(() => Examine(Garden(broker.Port), ExitCode.Findings), ct);
        Assert.Equal(
            "The broker has dropped 17 messages since it started, for this service or another: a queue was full.",
            One(document, "broker dropped").Says);
    }

    [Theory]
    [InlineData(null, Finding.Look, "The service has left no word of InfluxDB at the broker.")]
    [InlineData("{\"state\":\"forwarding\"}", Finding.Fine, "InfluxDB takes what the service sends.")]
    [InlineData(
        "{\"state\":\"waiting\",\"last_answer\":\"503, it restarts\"}",
        Finding.Look,
        "InfluxDB takes nothing at the moment: 503, it restarts.")]
    [InlineData(
        "{\"state\":\"not-allowed\",\"last_answer\":\"401\"}", Finding.Wrong, "InfluxDB takes nothing from this service: 401.")]
    [InlineData("[1", Finding.Look, "The service has left no word of InfluxDB at the broker.")]
    public async Task What_the_service_says_of_InfluxDB_is_told(string? topic, Finding finding, string says)
    {
        var ct = TestContext.Current.CancellationToken;
        await using var broker = await EmbeddedBroker.StartAsync();
        using var service = new MQTTnet.MqttClientFactory().CreateMqttClient();
        await service.ConnectAsync(new MQTTnet.MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), ct);
        if (topic is not null)
            await service.PublishAsync(
                new MQTTnet.MqttApplicationMessageBuilder().WithTopic("sentinel/influx").WithPayload(topic).WithRetainFlag().Build(), ct);
        File.WriteAllText(In("token"), "secret");
        var garden = Garden(broker.Port, "influx: { url: 'http://127.0.0.1:1', org: o, bucket: b, token: 'file:token' }");
        var document = await Task.Run(
            () => Examine(garden, finding == Finding.Wrong ? ExitCode.BadInput : ExitCode.Findings), ct);

        Assert.Equal((finding, says), (One(document, "copy in InfluxDB").Result, One(document, "copy in InfluxDB").Says));
    }

    [Fact]
    public void A_clock_behind_what_was_received_is_wrong()
    {
        Stored(_ => 5, 1);
        using (var store = SentinelStore.Open(In("sentinel.db")))
        {
            var later = Now.AddDays(3).ToUnixTimeMilliseconds();
            var batch = new StoreBatch();
            batch.Readings.Add(new StoredReading(store.SeriesId("yard/temperature/yard/t"), later, 5, later * 1000));
            store.Commit(batch);
        }

        Assert.Equal(Finding.Wrong, One(Examine(Garden(FreePort()), ExitCode.BadInput), "clock").Result);
    }
}
