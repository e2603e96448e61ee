using System.Net;
using System.Net.Sockets;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// What the broker inside the program does with messages that come or go twice, told by the bytes on the wire (MQTT 3.1.1: 2.2 for
/// their form, 4.3.3 and 4.4 for what a receiver and a sender owe each other).
/// </summary>
public sealed class EmbeddedBrokerDeliveryTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_message_of_qos_2_that_is_sent_again_before_its_release_is_passed_on_once()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port, "yard/#");
        using (var gauge = await RawClient.ConnectAsync(broker.Port, "gauge"))
        {
            await gauge.PublishAsync(2, 7, "yard/rain", "0.2");
            Assert.Equal([0x50, 2, 0, 7], await gauge.ReadAsync());
            await gauge.PublishAsync(2, 7, "yard/rain", "0.2", isAgain: true);
            Assert.Equal([0x50, 2, 0, 7], await gauge.ReadAsync());
        }

        // The connection broke before the release: the session goes on over the next one.
        using (var gauge = await RawClient.ConnectAsync(broker.Port, "gauge"))
        {
            await gauge.PublishAsync(2, 7, "yard/rain", "0.2", isAgain: true);
            Assert.Equal([0x50, 2, 0, 7], await gauge.ReadAsync());
            await gauge.SendAsync([0x62, 2, 0, 7]);
            Assert.Equal([0x70, 2, 0, 7], await gauge.ReadAsync());

            // Released, the identifier is free for another message; and one without the mark is another message anyway.
            await gauge.PublishAsync(2, 7, "yard/rain", "0.4");
            Assert.Equal([0x50, 2, 0, 7], await gauge.ReadAsync());
            await gauge.PublishAsync(2, 7, "yard/rain", "0.6");
            Assert.Equal([0x50, 2, 0, 7], await gauge.ReadAsync());
        }

        await peer.HearsAsync("yard/rain", "0.6");
        Assert.Equal(["0.2", "0.4", "0.6"], peer.Heard.Select(one => one.Payload));
    }

    [Fact]
    public async Task What_follows_a_message_that_came_again_is_passed_on()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port, "yard/#");
        using var gauge = await RawClient.ConnectAsync(broker.Port, "gauge");
        await gauge.PublishAsync(2, 1, "yard/rain", "0.2");
        await gauge.PublishAsync(2, 1, "yard/rain", "0.2", isAgain: true);
        await gauge.PublishAsync(0, 0, "yard/rain", "0.3");
        await gauge.PublishAsync(1, 2, "yard/rain", "0.4", isAgain: true);
        await peer.HearsAsync("yard/rain", "0.4");
        Assert.Equal(["0.2", "0.3", "0.4"], peer.Heard.Select(one => one.Payload));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task What_the_broker_sends_again_after_a_break_bears_the_mark_and_what_it_had_not_sent_does_not(byte qos)
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port);
        using var gauge = await RawClient.ConnectAsync(broker.Port, "gauge");
        using (var hub = await RawClient.ConnectAsync(broker.Port, "hub"))
        {
            await hub.SendAsync([0x82, 8, 0, 1, 0, 3, .. "y/r"u8, qos]);
            Assert.Equal([0x90, 3, 0, 1, qos], await hub.ReadAsync());
            await gauge.PublishAsync(qos, 1, "y/r", "0.2");
            await gauge.ReadAsync();
            var first = await hub.ReadAsync();
            Assert.Equal(0, first[0] & RawClient.Dup);
            // It says goodbye and waits until the broker has closed too: what comes then is not sent into a broken connection.
            await hub.SendAsync([0xE0, 0]);
            Assert.Empty(await hub.ReadAsync());
        }

        await gauge.PublishAsync(qos, 2, "y/r", "0.4");
        await gauge.ReadAsync();
        using var again = await RawClient.ConnectAsync(broker.Port, "hub");
        var (old, added) = (await again.ReadAsync(), await again.ReadAsync());
        Assert.Equal(("0.2", RawClient.Dup), (RawClient.PayloadOf(old), old[0] & RawClient.Dup));
        Assert.Equal(("0.4", 0), (RawClient.PayloadOf(added), added[0] & RawClient.Dup));
    }

    /// <summary>MQTT 3.1.1, 3.3.2.1: a topic to publish on has no wildcard.</summary>
    [Theory]
    [InlineData("yard/#")]
    [InlineData("yard/+/rain")]
    public async Task A_topic_with_a_wildcard_ends_the_connection_and_is_not_passed_on(string topic)
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port, "yard/#");
        using var gauge = await RawClient.ConnectAsync(broker.Port, "gauge");
        await gauge.PublishAsync(0, 0, topic, "0.2");
        Assert.Empty(await gauge.ReadAsync());
        await peer.PublishAsync("yard/rain", "last");
        await peer.HearsAsync("yard/rain", "last");
        Assert.Single(peer.Heard);
    }

    /// <summary>A client that says what it is told to, with a session that outlives its connection.</summary>
    private sealed class RawClient(TcpClient wire) : IDisposable
    {
        public const int Dup = 0x08;

        private readonly NetworkStream _stream = wire.GetStream();

        public static async Task<RawClient> ConnectAsync(int port, string id)
        {
            var wire = new TcpClient();
            await wire.ConnectAsync(IPAddress.Loopback, port, Ct);
            var client = new RawClient(wire);
            await client.SendAsync(
                [0x10, (byte)(12 + id.Length), 0, 4, .. "MQTT"u8, 4, 0, 0, 60, 0, (byte)id.Length, .. Encoding.UTF8.GetBytes(id)]);
            var answer = await client.ReadAsync();
            Assert.Equal((0x20, 0), (answer[0], answer[3]));
            return client;
        }

        public static string PayloadOf(byte[] publish) => Encoding.UTF8.GetString(publish.AsSpan(2 + 2 + publish[3] + 2));

        public Task PublishAsync(byte qos, ushort id, string topic, string payload, bool isAgain = false)
        {
            byte[] identifier = qos == 0 ? [] : [(byte)(id >> 8), (byte)id];
            return SendAsync([
                (byte)(0x30 | (qos << 1) | (isAgain ? Dup : 0)),
                (byte)(2 + topic.Length + identifier.Length + payload.Length),
                0,
                (byte)topic.Length,
                .. Encoding.UTF8.GetBytes(topic),
                .. identifier,
                .. Encoding.UTF8.GetBytes(payload),
            ]);
        }

        public Task SendAsync(byte[] packet) => _stream.WriteAsync(packet, Ct).AsTask();

        /// <summary>The next packet, all of which are short here; none: the connection has ended.</summary>
        public async Task<byte[]> ReadAsync()
        {
            var head = new byte[2];
            if (await _stream.ReadAtLeastAsync(head, 2, throwOnEndOfStream: false, Ct) < 2)
                return [];
            var rest = new byte[head[1]];
            await _stream.ReadExactlyAsync(rest, Ct);
            return [.. head, .. rest];
        }

        public void Dispose() => wire.Dispose();
    }
}
