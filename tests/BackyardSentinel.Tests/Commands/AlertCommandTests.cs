using System.CommandLine;
using System.Text.Json;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Alerts;
using BackyardSentinel.Delivery;

namespace BackyardSentinel.Tests.Commands;

public sealed class AlertCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-alert-command-").FullName;
    private readonly FakeTimeProvider _time = new(Some.Morning.AddHours(1));

    private string Store => Path.Combine(_folder, "sentinel.db");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task A_test_goes_to_each_receiver_and_its_answer_is_shown()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var good = await HttpPeer.StartAsync(ct: ct);
        await using var bad = await HttpPeer.StartAsync(ct: ct);
        good.AnswerWith(200, "thanks");
        bad.AnswerWith(500, "oh no");
        Garden(
            $"send_to:\n  - {{id: phone, kind: webhook, url: '{good.Url}', allow_private: true, content: text}}\n  - {{id: other, kind: "
                + $"webhook, url: '{bad.Url}', allow_private: true}}");

        var (code, output, _) = await RunAsync("test");

        Assert.Equal(ExitCode.Findings, code);
        Assert.Contains("phone: delivered (answered 200: thanks)\n", output, StringComparison.Ordinal);
        Assert.Contains("other: not delivered. The destination other (http://localhost:", output, StringComparison.Ordinal);
        Assert.DoesNotContain("tried again", output, StringComparison.Ordinal);
        // 08:00 in Ljubljana: central European time in winter is one hour ahead of UTC (from memory).
        Assert.Equal(
            "Test from Backyard Sentinel\n\nSent for Tannery Lane on Thu 4 Mar 08:00.\nThis is how alerts reach you. "
                + "Nothing has happened in the garden.\n",
            System.Text.Encoding.UTF8.GetString(good.Requests.Single().Body));
        Assert.Equal(ExitCode.Done, (await RunAsync("test", "--to", "phone")).Code);
        Assert.Equal(2, good.Requests.Count);
        Assert.Single(bad.Requests);
    }

    [Fact]
    public async Task A_dry_run_sends_nothing_and_still_finds_what_is_wrong()
    {
        await using var peer = await HttpPeer.StartAsync(ct: TestContext.Current.CancellationToken);
        Garden($"send_to:\n  - {{id: phone, kind: webhook, url: '{peer.Url}', allow_private: true}}");
        Assert.Equal(ExitCode.Done, (await RunAsync("test", "--dry-run")).Code);
        Assert.Empty(peer.Requests);

        Garden($"send_to:\n  - {{id: phone, kind: webhook, url: '{peer.Url}', allow_private: true, secret: 'file:{_folder}/none'}}");
        var (code, _, error) = await RunAsync("test", "--dry-run");

        Assert.Equal(ExitCode.BadConfiguration, code);
        Assert.Equal(
            $"The secret of the destination phone cannot be had: there is no file {_folder}/none. "
                + "Put it there, or change the garden file.\n",
            error);
    }

    [Fact]
    public async Task Each_kind_of_alert_is_shown_in_the_garden_s_language_and_own_words_and_nothing_is_sent()
    {
        await using var peer = await HttpPeer.StartAsync(ct: TestContext.Current.CancellationToken);
        var own = Path.Combine(_folder, "own.liquid");
        File.WriteAllText(
            own,
            File.ReadAllText(Checkout.Path("src", "BackyardSentinel", "Delivery", "words.en.liquid"))
                .Replace("Stuck {{ quantity }}: {{ site }}", "It has fallen asleep: {{ site }}", StringComparison.Ordinal)
                .Replace("--- sensor-back title\nBack: {{ quantity }}, {{ site }}\n", "", StringComparison.Ordinal));
        var destination = $"send_to:\n  - {{id: phone, kind: webhook, url: '{peer.Url}', allow_private: true}}";

        Garden($"words: {own}\n{destination}");
        var (code, english, _) = await RunAsync("test", "--words");
        Garden(destination, top: "language: de");
        var (_, german, _) = await RunAsync("test", "--words");

        Assert.Equal(ExitCode.Done, code);
        foreach (var kind in ExampleAlerts.OfEveryKind().Select(alert => alert.Kind).Append("test"))
        {
            Assert.Contains($"--- {kind}\n", english, StringComparison.Ordinal);
            Assert.Contains($"--- {kind}\n", german, StringComparison.Ordinal);
        }

        Assert.Contains("--- sensor-stuck\nIt has fallen asleep: south-wall\n", english, StringComparison.Ordinal);
        Assert.Contains("--- sensor-stuck\nSteht still: Temperatur, south-wall\n", german, StringComparison.Ordinal);
        Assert.Contains("--- sensor-back\nBack: temperature, south-wall\n", english, StringComparison.Ordinal);
        Assert.Contains($"{own} lacks 1 line, for which the built-in words stand in (language: en)", english, StringComparison.Ordinal);
        Assert.DoesNotContain("stand in", german, StringComparison.Ordinal);
        Assert.EndsWith("nothing was sent.\n", english, StringComparison.Ordinal);
        Assert.Empty(peer.Requests);
    }

    [Theory]
    [InlineData("--to", "phone")]
    [InlineData("--dry-run")]
    public async Task Words_are_shown_without_any_destination(params string[] also)
    {
        Garden("send_to:\n  - {id: phone, kind: dry-run}");

        var (code, output, _) = await RunAsync(["test", "--words", .. also]);

        Assert.NotEqual(ExitCode.Done, code);
        Assert.DoesNotContain("--- test", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_test_reaches_a_topic_beside_the_running_service()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var broker = await EmbeddedBroker.StartAsync();
        using var hub = await Peer.ConnectAsync(broker.Port, "sentinel/#");
        var service = new MqttLink(
            new BrokerOptions { Port = broker.Port },
            [],
            (_, _) => ValueTask.CompletedTask,
            TimeProvider.System,
            Serilog.Core.Logger.None);
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(ct);
        var running = service.RunAsync(stop.Token);
        await Until.TrueAsync(() => service.IsUp, "the service's link");
        Garden("send_to:\n  - {id: hub, kind: topic}", broker.Port);

        var (code, output, _) = await RunAsync("test");

        Assert.Equal((ExitCode.Done, "hub: delivered (published to sentinel/alert/test-20270304t070000z)\n"), (code, output));
        await hub.HearsAsync("sentinel/alert/test-20270304t070000z", "Test from Backyard Sentinel");
        Assert.DoesNotContain(hub.Heard, one => one.Topic.StartsWith("sentinel/alert/", StringComparison.Ordinal) && one.Retained);
        Assert.True(service.IsUp, "the service keeps its link");
        Assert.DoesNotContain(
            hub.Heard,
            one => one.Topic == "sentinel/state" && !one.Payload.Contains("watching", StringComparison.Ordinal));
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task A_broker_that_is_away_is_a_finding()
    {
        Garden("send_to:\n  - {id: hub, kind: topic}", port: 1);

        var (code, output, _) = await RunAsync("test");

        Assert.Equal(ExitCode.Findings, code);
        Assert.StartsWith("hub: not delivered. ", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Nobody_to_tell_and_an_unknown_receiver_are_said()
    {
        Garden("least_level: likely");
        Assert.Equal(ExitCode.Findings, (await RunAsync("test")).Code);

        Garden("send_to:\n  - {id: look, kind: dry-run}");
        var (code, _, error) = await RunAsync("test", "--to", "phone");
        Assert.Equal((ExitCode.BadInput, "--to: the garden file has no destination \"phone\"; it has look.\n"), (code, error));
    }

    [Fact]
    public async Task A_test_that_gets_through_switches_a_receiver_on_again()
    {
        Garden("send_to:\n  - {id: look, kind: dry-run}");
        Fill();
        using (var outbox = OutboxStore.Open(Store))
            outbox.SwitchOff("look", "dry-run", "It is gone.");

        await RunAsync("test");

        using var after = OutboxStore.Open(Store);
        Assert.Null(after.SwitchedOff("look", "dry-run"));
    }

    [Fact]
    public async Task Alerts_are_listed_with_what_became_of_them()
    {
        Garden("send_to:\n  - {id: look, kind: dry-run}");
        Fill(
            Row("old", Some.Morning.AddDays(-9)) with
            {
                State = OutboxState.Delivered,
                LastAnswer = "answered 200",
                NextMs = Some.Morning.AddDays(-9).ToUnixTimeMilliseconds(),
            },
            Row("new", Some.Morning) with
            {
                Attempts = 2,
                LastAnswer = "It is down.",
                NextMs = Some.Morning.AddHours(2).ToUnixTimeMilliseconds(),
            });

        var (code, output, _) = await RunAsync("list");

        Assert.Equal(ExitCode.Done, code);
        Assert.Equal(
            "2027-03-04 07:00  waiting    look: South wall: likely\n    new, 2 attempts failed, "
                + "next attempt 2027-03-04 09:00\n    It is down.\n",
            output);
        var listed = (await RunAsync("list", "--all", "--json")).Output;
        Assert.True(SchemaTests.Holds("alert-list", listed), listed);
        Assert.False(SchemaTests.Holds("alert-list", listed.Replace("\"to\"", "\"whom\"", StringComparison.Ordinal)));
        using var json = JsonDocument.Parse(listed);
        Assert.Equal(
            ["old", "new"],
            json.RootElement.GetProperty("alerts").EnumerateArray().Select(row => row.GetProperty("id").GetString()!));
        Assert.Equal("working", json.RootElement.GetProperty("path").GetProperty("state").GetString());
        Assert.Equal("2027-02-23T06:00:00Z", json.RootElement.GetProperty("path").GetProperty("last_worked_at").GetString());
    }

    [Fact]
    public async Task A_way_that_has_been_dead_for_a_day_is_said_and_is_a_finding()
    {
        Garden("send_to:\n  - {id: look, kind: dry-run}");
        Fill(Row("new", Some.Morning) with { Attempts = 2, LastAnswer = "It is down." });
        _time.Advance(TimeSpan.FromHours(22) + TimeSpan.FromMinutes(59));
        Assert.Equal(ExitCode.Done, (await RunAsync("list")).Code);
        _time.Advance(TimeSpan.FromMinutes(1));

        var (code, _, error) = await RunAsync("list");

        Assert.Equal(ExitCode.Findings, code);
        Assert.Equal(
            "The way to the phone is dead: an alert has been open since 2027-03-04 07:00, and no message has ever gone through. "
                + "See the answers above, then try 'alert test'.\n",
            error);
    }

    [Fact]
    public async Task An_alert_is_seen_or_put_off_by_its_id_or_its_episode()
    {
        Garden("send_to:\n  - {id: look, kind: dry-run}");
        Fill(Row("new", Some.Morning));

        Assert.Equal(ExitCode.Done, (await RunAsync("seen", "new")).Code);
        Assert.Equal(ExitCode.Done, (await RunAsync("later", "south-wall/white-peach/spell", "--for", "6h")).Code);

        using var book = AnswerBook.Open(Store);
        Assert.Equal(
            [
                ("south-wall/white-peach/spell", "seen", null),
                ("south-wall/white-peach/spell", "later", _time.GetUtcNow().AddHours(6).ToUnixTimeMilliseconds()),
            ],
            book.Rows().Select(row => (row.Episode, row.Kind, row.UntilMs)));
        Assert.Contains("    you put it off until 2027-03-04 14:00\n", (await RunAsync("list")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_summary_is_answered_for_all_that_it_lists()
    {
        Garden("send_to:\n  - {id: look, kind: dry-run}");
        var summary = ExampleAlerts.OfEveryKind()[^1];
        var message = new AlertText("Several", "Several.").For(summary);
        Fill(OutboxDispatcher.Row(message, new ReceiverSettings { Id = "look" }));

        await RunAsync("seen", summary.Id);

        using var book = AnswerBook.Open(Store);
        Assert.Equal(summary.Occasions.Select(occasion => occasion.Episode).Distinct(), book.Rows().Select(row => row.Episode));
    }

    [Theory]
    [InlineData("seen", "none")]
    [InlineData("later", "none", "--for", "6h")]
    [InlineData("later", "new", "--for", "6d")]
    [InlineData("later", "new", "--for", "721h")]
    [InlineData("later", "new")]
    public async Task An_answer_that_cannot_be_taken_is_a_sentence_and_writes_nothing(params string[] words)
    {
        Garden("send_to:\n  - {id: look, kind: dry-run}");
        Fill(Row("new", Some.Morning));

        var (code, _, error) = await RunAsync(words);

        Assert.NotEqual(ExitCode.Done, code);
        Assert.NotEqual("", error);
        using var book = AnswerBook.Open(Store);
        Assert.Empty(book.Rows());
    }

    [Fact]
    public async Task An_alert_that_nobody_knows_is_told()
    {
        Garden("send_to:\n  - {id: look, kind: dry-run}");
        const string Told = "No alert has the id or the episode \"none\", so there is nothing to answer. "
            + "'alert list --all' shows all there are.\n";

        // There is no store yet, and none is made.
        Assert.Equal((ExitCode.BadInput, "", Told), await RunAsync("seen", "none"));
        Assert.False(File.Exists(Store));
        Fill(Row("new", Some.Morning));
        Assert.Equal((ExitCode.BadInput, "", Told), await RunAsync("later", "none", "--for", "6h"));
    }

    private static OutboxRow Row(string id, DateTimeOffset at) =>
        OutboxDispatcher.Row(Some.Alert(id, at: at), new ReceiverSettings { Id = "look" });

    private void Fill(params OutboxRow[] rows)
    {
        using var store = SentinelStore.Open(Store);
        var batch = new StoreBatch();
        batch.Outbox.AddRange(rows);
        store.Commit(batch);
    }

    private void Garden(string alerts, int port = 1883, string top = "units: metric") => File.WriteAllText(
        Path.Combine(_folder, "garden.yaml"),
        $"""
        name: Tannery Lane
        {top}
        broker:
          port: {port}
        store:
          path: {Store}
        sites:
          - id: south-wall
            zone: Europe/Ljubljana
            series:
              - quantity: temperature
                topic: g/t
              - quantity: humidity
                topic: g/h
        alerts:
        """ + "\n" + string.Join('\n', alerts.Split('\n').Select(line => "  " + line)) + "\n");

    private async Task<(int Code, string Output, string Error)> RunAsync(params string[] words)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var root = new RootCommand { AlertCommand.Create(_time) };
        var code = await root.Parse(["alert", .. words, "--garden", Path.Combine(_folder, "garden.yaml")])
            .InvokeAsync(
                new InvocationConfiguration
                {
                    Output = output,
                    Error = error,
                    EnableDefaultExceptionHandler = false,
                },
                TestContext.Current.CancellationToken);
        return (code, output.ToString(), error.ToString());
    }
}
