using System.Collections.Concurrent;
using MQTTnet;
using MQTTnet.Formatter;
using Serilog.Core;

namespace BackyardSentinel.Mqtt;

public sealed class MqttLinkTests
{
    private static BrokerOptions Broker(int port) => new() { Port = port, ClientId = "link-under-test", WillDelaySeconds = 0 };

    private sealed class Running : IAsyncDisposable
    {
        private readonly CancellationTokenSource _stop = new();
        private readonly Task _task;

        public Running(BrokerOptions broker, TimeProvider? time = null, Serilog.ILogger? log = null)
        {
            Link = new MqttLink(broker, ["yard/t"], (message, _) =>
            {
                if (OnMessage?.Invoke(message) is { } failure)
                    throw failure;
                Arrived.Enqueue(message);
                return ValueTask.CompletedTask;
            }, time ?? TimeProvider.System, log ?? Logger.None);
            _task = Link.RunAsync(_stop.Token);
        }

        public MqttLink Link { get; }

        /// <summary>Fails to take a message.</summary>
        public Func<ArrivedMessage, Exception?>? OnMessage { get; set; }

        public ConcurrentQueue<ArrivedMessage> Arrived { get; } = [];

        public Task UpAsync() => Until.TrueAsync(() => Link.IsUp, "the link is up");

        public async ValueTask DisposeAsync()
        {
            await _stop.CancelAsync();
            await _task;
            _stop.Dispose();
        }
    }

    private static string Text(ArrivedMessage message) => Encoding.UTF8.GetString(message.Payload.Span);

    [Fact]
    public async Task While_the_link_is_down_it_says_why_and_since_when()
    {
        var port = Proofs.ProofGarden.FreePort();
        var time = new FakeTimeProvider();
        await using var running = new Running(Broker(port), time);
        await Until.TrueAsync(() => running.Link.Trouble is not null, "the trouble is told");
        var (trouble, began) = (running.Link.Trouble!, time.GetUtcNow());
        Assert.Contains("refuses the connection", trouble.Says.Text, StringComparison.Ordinal);
        await using var broker = await EmbeddedBroker.StartAsync(port);
        await Until.TrueAsync(
            () =>
            {
                time.Advance(TimeSpan.FromSeconds(10));
                return running.Link.IsUp;
            },
            "the link is up");

        Assert.Equal(began, trouble.Since);
        Assert.Null(running.Link.Trouble);
    }

    // A message so large that the stop comes in the midst of its writing: half a packet must not swallow the goodbye.
    [Fact]
    public async Task A_stop_in_the_midst_of_a_message_still_says_goodbye()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/state");
        for (var round = 1; round <= 2; round++)
        {
            await using (var running = new Running(Broker(broker.Port), new FakeTimeProvider()))
            {
                await running.UpAsync();
                running.Link.Publish(new OutgoingMessage("sentinel/yard/weather", new byte[6_000_000]));
                for (var i = 0; i < round * 20; i++)
                    await Task.Yield();
            }

            await Until.TrueAsync(
                () => peer.Heard.Count(one => one.Payload.Contains("stopped", StringComparison.Ordinal)) == round, "the goodbye");
        }
    }

    [Fact]
    public async Task A_message_comes_in_and_a_retained_one_goes_out_through_the_embedded_broker()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/#");
        await using (var running = new Running(Broker(broker.Port)))
        {
            await running.UpAsync();
            running.Link.Publish(new OutgoingMessage("sentinel/yard/weather", "{}"u8.ToArray(), 60));
            await peer.PublishAsync("yard/t", "21.5");
            await Until.TrueAsync(() => running.Arrived.Count == 1, "the message");
            await peer.HearsAsync("sentinel/yard/weather", "{}");
            await peer.HearsAsync("sentinel/state", "watching");
        }

        await peer.HearsAsync("sentinel/state", "stopped");
    }

    [Fact]
    public async Task What_is_published_expires_at_the_broker_where_that_was_asked_for()
    {
        using var broker = await Mosquitto.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/#");
        await using var running = new Running(Broker(broker.Port));
        await running.UpAsync();
        running.Link.Publish(new OutgoingMessage("sentinel/yard/weather", "{}"u8.ToArray(), 3600));
        running.Link.Publish(new OutgoingMessage("sentinel/alert-path", "{}"u8.ToArray()));
        await peer.HearsAsync("sentinel/yard/weather", "{}");
        await peer.HearsAsync("sentinel/alert-path", "{}");
        // The broker takes off the time for which it had the message.
        Assert.InRange(peer.ExpirySeconds["sentinel/yard/weather"], 1u, 3600u);
        Assert.Equal(0u, peer.ExpirySeconds["sentinel/alert-path"]);
    }

    [Fact]
    public async Task What_is_not_acknowledged_comes_again_after_a_restart_and_what_is_does_not()
    {
        using var broker = await Mosquitto.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port);
        await using (var first = new Running(Broker(broker.Port)))
        {
            await first.UpAsync();
            for (var i = 1; i <= 3; i++) await peer.PublishAsync("yard/t", $"{i}");
            await Until.TrueAsync(() => first.Arrived.Count == 3, "three messages");
            await first.Arrived.First().AcknowledgeAsync(CancellationToken.None);
        }

        await peer.PublishAsync("yard/t", "4");
        await using var second = new Running(Broker(broker.Port));
        await Until.TrueAsync(() => second.Arrived.Count == 3, "the two again and the new one");
        Assert.Equal(["2", "3", "4"], second.Arrived.Select(Text));
        Assert.Equal([true, true, false], second.Arrived.Select(message => message.Redelivered));
    }

    [Fact]
    public async Task What_waited_at_the_broker_is_told_from_what_is_sent_later()
    {
        using var broker = await Mosquitto.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port);
        var time = new FakeTimeProvider();
        await using (var first = new Running(Broker(broker.Port), time))
        {
            await first.UpAsync();
            await peer.PublishAsync("yard/t", "1");
            await Until.TrueAsync(() => first.Arrived.Count == 1, "the first message");
            Assert.Equal((1, false, false), Of(first.Arrived.Single())); // A new session: nothing can have waited.
            await first.Arrived.Single().AcknowledgeAsync(CancellationToken.None);
        }

        // More than the 20 that this broker sends ahead of an acknowledgement.
        for (var i = 2; i <= 41; i++) await peer.PublishAsync("yard/t", $"{i}");
        await using var second = new Running(Broker(broker.Port), time);
        await second.UpAsync();
        time.Advance(TimeSpan.FromSeconds(30)); // It waits for us, not we for it.
        for (var i = 1; i <= 40; i++)
        {
            await Until.TrueAsync(() => second.Arrived.Count >= i, $"{i} messages that waited");
            await second.Arrived.ElementAt(i - 1).AcknowledgeAsync(CancellationToken.None);
        }

        time.Advance(TimeSpan.FromSeconds(6));
        await peer.PublishAsync("yard/t", "42");
        await Until.TrueAsync(() => second.Arrived.Count == 41, "one that is sent later");
        Assert.Equal(Enumerable.Range(2, 40).Select(id => (id, true, true)).Append((42, true, false)), second.Arrived.Select(Of));

        static (int, bool, bool) Of(ArrivedMessage message) =>
            (message.Delivery!.Value.PacketId, message.Delivery.Value.SessionGoesOn, message.Delivery.Value.Waited);
    }

    [Fact]
    public async Task A_cut_wire_brings_the_will_then_the_birth_and_counts_no_message_twice()
    {
        using var broker = await Mosquitto.StartAsync();
        using var wire = new Wire(broker.Port);
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/#");
        await using (var running = new Running(Broker(wire.Port)))
        {
            await running.UpAsync();
            await peer.HearsAsync("sentinel/state", "watching");
            running.Link.Publish(new OutgoingMessage("sentinel/yard/tree/risk", "{}"u8.ToArray(), 60));
            await peer.HearsAsync("sentinel/yard/tree/risk", "{}");
            await peer.PublishAsync("yard/t", "1");
            await peer.PublishAsync("yard/t", "2");
            await Until.TrueAsync(() => running.Arrived.Count == 2, "two messages");

            wire.Cut();
            await peer.HearsAsync("sentinel/state", "lost");
            await running.Arrived.First().AcknowledgeAsync(CancellationToken.None); // committed while the link is down
            await Until.TrueAsync(
                () => peer.Heard.Count(one => one.Payload.Contains("watching", StringComparison.Ordinal)) == 2,
                "the second birth");
            await Until.TrueAsync(
                () => peer.Heard.Count(one => one.Topic.EndsWith("/risk", StringComparison.Ordinal)) == 2,
                "the risk again");
            await running.Arrived.Last().AcknowledgeAsync(CancellationToken.None);
            await peer.PublishAsync("yard/t", "3");
            await Until.TrueAsync(() => running.Arrived.Count >= 3, "the third message");
            Assert.Equal(["1", "2", "3"], running.Arrived.Select(Text));
            await running.Arrived.Last().AcknowledgeAsync(CancellationToken.None);
        }

        await using var later = new Running(Broker(broker.Port));
        await later.UpAsync();
        await peer.PublishAsync("yard/t", "4");
        await Until.TrueAsync(() => !later.Arrived.IsEmpty, "the fourth message");
        Assert.Equal(["4"], later.Arrived.Select(Text));
    }

    [Fact]
    public async Task What_could_not_be_handed_on_stops_nothing_and_is_handed_on_when_it_comes_again()
    {
        using var broker = await Mosquitto.StartAsync();
        using var wire = new Wire(broker.Port);
        using var peer = await Peer.ConnectAsync(broker.Port);
        await using var running = new Running(Broker(wire.Port));
        ConcurrentDictionary<string, bool> failed = [];
        running.OnMessage = message =>
            int.Parse(Text(message), CultureInfo.InvariantCulture) % 7 == 0 && failed.TryAdd(Text(message), true)
                ? new InvalidOperationException("a fault of its own")
                : null;
        await running.UpAsync();
        for (var number = 1; number <= 700; number++)
            await peer.PublishAsync("yard/t", $"{number}");
        await Until.TrueAsync(() => running.Arrived.Count == 600 && failed.Count == 100, "all others");
        foreach (var message in running.Arrived)
            await message.AcknowledgeAsync(TestContext.Current.CancellationToken);

        wire.Cut();
        // An acknowledgement may have been cut with the wire: then a message comes twice, which the store notices.
        await Until.TrueAsync(() => running.Arrived.Select(Text).Distinct().Count() == 700, "what had failed");
    }

    [Fact]
    public async Task A_retained_message_comes_with_a_new_session_and_not_again_where_the_session_goes_on()
    {
        using var broker = await Mosquitto.StartAsync();
        using var wire = new Wire(broker.Port);
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/#");
        await peer.PublishAsync("yard/t", "21.5", retain: true);
        await using var running = new Running(Broker(wire.Port));
        await Until.TrueAsync(() => running.Arrived.Count == 1, "the retained message");
        await running.Arrived.First().AcknowledgeAsync(CancellationToken.None);
        await running.UpAsync();
        // What follows the acknowledgement on the same wire has come, so the broker has the acknowledgement too.
        running.Link.Publish(new OutgoingMessage("sentinel/yard/tree/risk", "{}"u8.ToArray(), 60));
        await peer.HearsAsync("sentinel/yard/tree/risk", "{}");
        wire.Cut();
        await Until.TrueAsync(() => !running.Link.IsUp, "the link is lost");
        await running.UpAsync();
        // What is retained would come with the subscription, before this.
        await peer.PublishAsync("yard/t", "22");
        await Until.TrueAsync(() => running.Arrived.Any(message => Text(message) == "22"), "the next message");
        Assert.Equal(["21.5", "22"], running.Arrived.Select(Text));
    }

    [Fact]
    public async Task A_forecast_that_is_too_large_to_be_read_still_arrives_so_that_it_can_be_told()
    {
        using var broker = await Mosquitto.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port);
        await using var running = new Running(Broker(broker.Port) with { MaximumPacketBytes = 4 * 1024 * 1024 });
        await running.UpAsync();
        await peer.PublishAsync("yard/t", new string(' ', 1_200_000));
        await Until.TrueAsync(() => running.Arrived.Count == 1, "the large message");
        Assert.Equal(1_200_000, running.Arrived.First().Payload.Length);
    }

    [Theory]
    [InlineData(MqttProtocolVersion.V311)]
    [InlineData(MqttProtocolVersion.V500)]
    public async Task The_embedded_broker_takes_clients_that_give_no_id(MqttProtocolVersion version)
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        await using var running = new Running(Broker(broker.Port));
        await running.UpAsync();
        using var one = new MqttClientFactory().CreateMqttClient();
        using var two = new MqttClientFactory().CreateMqttClient();
        foreach (var nameless in new[] { one, two })
        {
            var answer = await nameless.ConnectAsync(
                new MqttClientOptionsBuilder()
                    .WithProtocolVersion(version)
                    .WithTcpServer("127.0.0.1", broker.Port)
                    .WithClientId("")
                    .WithCleanSession()
                    .Build(),
                TestContext.Current.CancellationToken);
            Assert.Equal(MqttClientConnectResultCode.Success, answer.ResultCode);
        }

        await one.PublishStringAsync("yard/t", "1", cancellationToken: TestContext.Current.CancellationToken);
        await two.PublishStringAsync("yard/t", "2", cancellationToken: TestContext.Current.CancellationToken);
        await Until.TrueAsync(() => running.Arrived.Count == 2, "both messages");
    }

    [Fact]
    public void The_client_id_where_none_is_given_is_the_same_at_every_start_and_another_on_every_machine_and_for_every_store()
    {
        Assert.Equal(ClientName.Of("/var/lib/a.db"), ClientName.Of("/var/lib/a.db"));
        string[] names = [ClientName.Of("one", "/a.db"), ClientName.Of("two", "/a.db"), ClientName.Of("one", "/b.db")];
        Assert.Equal(3, names.Distinct().Count());
        Assert.All(names, name => Assert.InRange((name + "-homie").Length, 1, 23)); // What every broker takes: MQTT 5, 3.1.3.1.
    }

    [Fact]
    public async Task A_link_without_a_broker_waits_and_connects_when_there_is_one()
    {
        var port = 0;
        await using (var gone = await EmbeddedBroker.StartAsync()) port = gone.Port;
        using var said = new LogLines();
        await using var running = new Running(Broker(port), log: said.Logger);
        await Until.TrueAsync(
            () => said.Lines.Any(line => line.Contains("refuses the connection", StringComparison.Ordinal)), "it was tried");
        Assert.False(running.Link.IsUp);
        await using var broker = await EmbeddedBroker.StartAsync(port);
        await running.UpAsync();
    }
}
