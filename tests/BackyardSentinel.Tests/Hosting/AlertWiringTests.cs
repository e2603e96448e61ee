using System.Security.Cryptography;
using System.Text.Json;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Tests.Delivery;
using Serilog.Core;

namespace BackyardSentinel.Hosting;

public sealed class AlertWiringTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-wiring-").FullName;
    private readonly FakeTimeProvider _time = new(Some.Morning);

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void The_policy_is_that_of_the_garden_file_in_the_zone_of_the_first_site()
    {
        using var wiring = AlertWiring.Of(Garden("""
            least_level: likely
            max_per_day: 3
            quiet_from: "22:00"
            quiet_to: "07:00"
            severe_in_quiet: true
            """));

        Assert.Equal("Europe/Ljubljana", wiring.Policy.Zone.Id);
        Assert.Equal((3, Level.Likely, true), (wiring.Policy.MaxPerDay, wiring.Policy.LeastLevel, wiring.Policy.SeverePassesQuiet));
        Assert.Equal(new QuietHours(new TimeOnly(22, 0), new TimeOnly(7, 0)), wiring.Policy.Quiet);
        Assert.Equal("America/New_York", wiring.ZoneOf("gate").Id);
        Assert.Equal("Europe/Ljubljana", wiring.ZoneOf(null).Id);
    }

    [Fact]
    public void A_garden_file_without_alerts_has_the_default_policy_and_nobody_to_tell()
    {
        using var wiring = AlertWiring.Of(Garden(""));

        Assert.Equal(new AlertPolicyOptions { Zone = wiring.Policy.Zone }, wiring.Policy);
        Assert.Empty(wiring.Receivers);
        Assert.Null(wiring.Heartbeat(() => true, _time, Logger.None));
    }

    [Theory]
    [InlineData(
        "url: file:FOLDER/none",
        "The url of the destination phone cannot be had: there is no file FOLDER/none. Put it there, or change the garden file."
    )]
    [InlineData(
        "url: file:FOLDER/bad",
        "The url of the destination phone, kept in file:FOLDER/bad, is no address that begins with https:// or http://; "
            + "write the whole address there and nothing else."
    )]
    [InlineData(
        "url: https://phone.example\n    secret: file:FOLDER/none",
        "The secret of the destination phone cannot be had: there is no file FOLDER/none. Put it there, or change the garden file."
    )]
    [InlineData(
        "url: https://phone.example\n    secret: file:FOLDER/bad",
        "The secret of the destination phone is no webhook secret: it must be whsec_ and base64 of 24 to 64 bytes. "
            + "Copy it again from the other side."
    )]
    [InlineData(
        "url: https://phone.example\n    content: text\n    template_file: FOLDER/none",
        "The file FOLDER/none should hold the template of the destination phone, named by 'template_file', but it is not there; "
            + "put it there, or take the key out of the garden file."
    )]
    [InlineData(
        "url: https://phone.example\n    headers:\n      - {name: X-Key, value: 'file:FOLDER/none'}",
        "The header X-Key of the destination phone cannot be had: there is no file FOLDER/none. Put it there, or change the garden file."
    )]
    public void What_a_receiver_points_to_and_is_wrong_is_one_sentence_without_the_secret(string keys, string sentence)
    {
        File.WriteAllText(Path.Combine(_folder, "bad"), "hush-hush\n");

        var problem = Assert.Throws<WiringProblemException>(() =>
        {
            using var wiring = AlertWiring.Of(
                Garden($"send_to:\n  - id: phone\n    kind: webhook\n    {keys.Replace("FOLDER", _folder, StringComparison.Ordinal)}"));
            wiring.Connect(NoTopic, TextWriter.Null, _time, () => true);
        });

        Assert.Equal(sentence.Replace("FOLDER", _folder, StringComparison.Ordinal), problem.Message);
    }

    [Fact]
    public void A_broken_file_of_words_is_one_sentence()
    {
        var words = Path.Combine(_folder, "words.liquid");
        File.WriteAllText(words, "--- words\nmonths = Jan\n");

        var problem = Assert.Throws<WiringProblemException>(() => AlertWiring.Of(Garden($"words: {words}")));

        Assert.StartsWith(words + ": ", problem.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void What_a_file_of_words_lacks_is_logged_once_at_the_start_and_stops_nothing()
    {
        var words = Path.Combine(_folder, "words.liquid");
        File.WriteAllText(words, WordsText.English.Text.Replace("level.severe = severe\n", "", StringComparison.Ordinal));
        var garden = Garden($"words: {words}") with { Store = new StoreSettings { Path = Path.Combine(_folder, "s.db") } };
        using var store = SentinelStore.Open(garden.Store.Path);
        using LogLines log = new();

        using var services = GardenServices.Open(
            garden, garden.Broker, () => null!, new ServiceOptions(ClockFromReadings: true), _time, log.Logger);

        Assert.Equal(
            $"{words} lacks 1 line, for which the built-in words stand in (language: en); check shows what to add.",
            Assert.Single(log.Lines, line => line.StartsWith(words, StringComparison.Ordinal)));
    }

    /// <summary>
    /// The signature is checked with the runtime's own HMAC over ID.TIMESTAMP.BODY, as the Standard Webhooks specification says.
    /// </summary>
    [Fact]
    public async Task A_webhook_of_the_garden_file_sends_a_signed_alert_with_its_figures()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var peer = await HttpPeer.StartAsync(ct: ct);
        File.WriteAllText(Path.Combine(_folder, "url"), $"{peer.Url}hush\n");
        File.WriteAllText(Path.Combine(_folder, "key"), Some.Secret + "\n");
        File.WriteAllText(Path.Combine(_folder, "token"), "Bearer hush\n");
        using var wiring = AlertWiring.Of(Garden($"""
            send_to:
              - id: phone
                kind: webhook
                url: file:{_folder}/url
                secret: file:{_folder}/key
                headers:
                  - name: Authorization
                    value: file:{_folder}/token
                allow_private: true
            """));
        var message = wiring.Say(ExampleAlerts.OfEveryKind()[0]);

        var result = await wiring.Connect(NoTopic, TextWriter.Null, _time, () => true).Single().SendAsync(message, ct);

        Assert.IsType<DeliveryResult.Delivered>(result);
        var (_, path, headers, body) = Assert.Single(peer.Requests);
        Assert.Equal(("/hush", "Bearer hush"), (path, headers["Authorization"]));
        var signed = Encoding.UTF8.GetBytes($"{headers["webhook-id"]}.{headers["webhook-timestamp"]}.").Concat(body).ToArray();
        Assert.Equal(
            "v1," + Convert.ToBase64String(HMACSHA256.HashData(Convert.FromBase64String(Some.Secret["whsec_".Length..]), signed)),
            headers["webhook-signature"]);
        using var json = JsonDocument.Parse(body);
        var facts = json.RootElement.GetProperty("data").GetProperty("facts");
        Assert.Equal(
            ("likely", "24.8", "13.6", "9.3", "recheck", "2027-03-04T09:10:00Z"),
            (Fact("level"), Fact("wet_hours"), Fact("rain_mm"), Fact("mean_temp_c"), Fact("cover"), Fact("since")));

        string? Fact(string name) => facts.GetProperty(name).GetString();
    }

    /// <summary>One touch answers a message: what its link leads to is tried in a browser by the journeys.</summary>
    [Fact]
    public async Task Each_message_has_the_link_to_its_own_page_in_its_text_and_beside_it()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var peer = await HttpPeer.StartAsync(ct: ct);
        var garden = Garden($"send_to:\n  - {{id: phone, kind: webhook, url: '{peer.Url}', allow_private: true}}");
        var page = new PageSettings { Address = new Uri("https://garden.example/") };
        using var wiring = AlertWiring.Of(garden with { Page = page });
        var alerts = ExampleAlerts.OfEveryKind();

        foreach (var message in alerts.Select(wiring.Say))
        {
            Assert.Equal("https://garden.example/alert/" + Uri.EscapeDataString(message.Id), message.Link);
            Assert.EndsWith("\n" + message.Link, message.Text, StringComparison.Ordinal);
        }

        var sent = wiring.Say(alerts[0]);
        await wiring.Connect(NoTopic, TextWriter.Null, _time, () => true).Single().SendAsync(sent, ct);
        using var json = JsonDocument.Parse(Assert.Single(peer.Requests).Body);
        Assert.Equal(sent.Link, json.RootElement.GetProperty("data").GetProperty("link").GetString());
        // A page that only this computer reaches is no use on a phone.
        using var local = AlertWiring.Of(garden with { Page = new PageSettings() });
        Assert.All(alerts.Select(local.Say), message => Assert.Null(message.Link));
    }

    /// <summary>127.0.0.0/8 is loopback (RFC 1122, 3.2.1.3).</summary>
    [Fact]
    public async Task Without_allow_private_the_own_machine_is_not_asked()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var peer = await HttpPeer.StartAsync(ct: ct);
        using var wiring = AlertWiring.Of(Garden($"send_to:\n  - id: phone\n    kind: webhook\n    url: {peer.Url}"));

        var result = await wiring.Connect(NoTopic, TextWriter.Null, _time, () => true).Single().SendAsync(Some.Alert("a"), ct);

        Assert.Contains("set allow_private", Assert.IsType<DeliveryResult.RetryLater>(result).Reason, StringComparison.Ordinal);
        Assert.Empty(peer.Requests);
    }

    [Fact]
    public void Each_kind_of_receiver_becomes_a_class_of_its_own()
    {
        var kinds = Enum.GetValues<ReceiverKind>();
        using var wiring = AlertWiring.Of(Garden(
            "send_to:\n"
            + string.Join(
                '\n',
                kinds.Select(
                    kind =>
                        $"  - {{id: {kind.Word()}, kind: "
                            + $"{kind.Word()}{(kind == ReceiverKind.Webhook ? ", url: 'https://hooks.example/x'" : "")}}}"))));

        var receivers = wiring.Connect(NoTopic, TextWriter.Null, _time, () => true);

        Assert.Equal(kinds.Select(kind => kind + "Receiver"), receivers.Select(receiver => receiver.GetType().Name));
    }

    [Fact]
    public async Task Topics_and_dry_runs_go_where_they_are_told()
    {
        var ct = TestContext.Current.CancellationToken;
        List<string> topics = [];
        using var written = new StringWriter();
        using var wiring = AlertWiring.Of(Garden("send_to:\n  - {id: hub, kind: topic, useful_for: 2h}\n  - {id: look, kind: dry-run}"));

        foreach (var receiver in wiring.Connect(Publish, written, _time, () => true))
            Assert.IsType<DeliveryResult.Delivered>(await receiver.SendAsync(Some.Alert("a-1"), ct));

        Assert.Equal(["sentinel/alert/a-1"], topics);
        Assert.Contains("South wall: likely", written.ToString(), StringComparison.Ordinal);
        Assert.Equal(["hub", "look"], wiring.Receivers.Select(receiver => receiver.Id));
        Assert.Equal(TimeSpan.FromHours(2), wiring.Receivers[0].UsefulFor);

        Task Publish(string topic, ReadOnlyMemory<byte> payload, CancellationToken token)
        {
            topics.Add(topic);
            return Task.CompletedTask;
        }
    }

    [Fact]
    public void Every_kind_of_alert_becomes_a_message_that_survives_the_outbox()
    {
        using var wiring = AlertWiring.Of(Garden(""));
        var alerts = ExampleAlerts.OfEveryKind();

        Assert.All(
            alerts,
            alert =>
            {
                var message = wiring.Say(alert);
                var read = AlertJson.Read(Encoding.UTF8.GetString(AlertJson.Write(message)));
                Assert.Equal(message.Plantings, read!.Plantings);
                Assert.Equal(message with { Facts = read.Facts, Plantings = read.Plantings }, read);
                Assert.Equal(
                    message.Facts.OrderBy(fact => fact.Key, StringComparer.Ordinal),
                    read.Facts.OrderBy(fact => fact.Key, StringComparer.Ordinal));
                Assert.Equal(alert.Site ?? "", message.Site);
                Assert.NotEmpty(message.Facts);
            });
    }

    [Fact]
    public void An_answer_to_a_summary_is_about_all_that_it_lists_and_to_anything_else_about_its_episode()
    {
        using var wiring = AlertWiring.Of(Garden(""));
        var alerts = ExampleAlerts.OfEveryKind();
        var summary = alerts[^1];

        Assert.Equal(Alert.SummaryKind, summary.Kind);
        Assert.Equal(summary.Occasions.Select(occasion => occasion.Episode).Distinct(), wiring.Say(summary).Episodes);
        Assert.Equal([alerts[0].Episode], wiring.Say(alerts[0]).Episodes);
    }

    private GardenFile Garden(string alerts)
    {
        var path = Path.Combine(_folder, "garden.yaml");
        var part = alerts.Length == 0
            ? ""
            : "alerts:\n" + string.Join('\n', alerts.ReplaceLineEndings("\n").Split('\n').Select(line => "  " + line)) + "\n";
        File.WriteAllText(path, part + """
            name: Tannery Lane
            sites:
              - id: south-wall
                zone: Europe/Ljubljana
                series:
                  - {quantity: temperature, topic: g/t}
                  - {quantity: humidity, topic: g/h}
              - id: gate
                zone: America/New_York
                series:
                  - {quantity: temperature, topic: g/t2}
                  - {quantity: humidity, topic: g/h2}
            """);
        var (garden, problems) = GardenFileReader.Read(path);
        Assert.True(garden is not null, string.Join("; ", problems));
        return garden;
    }

    private static Task NoTopic(string topic, ReadOnlyMemory<byte> payload, CancellationToken ct) =>
        throw new InvalidOperationException("No topic is meant.");
}
