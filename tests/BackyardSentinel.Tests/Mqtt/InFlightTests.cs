using System.Net;
using System.Security.Cryptography.X509Certificates;
using MQTTnet.Adapter;
using MQTTnet.Formatter;
using MQTTnet.Packets;
using Serilog.Core;

namespace BackyardSentinel.Mqtt;

/// <summary>However large the messages and however many the broker sends ahead, no more lie in memory than the bound allows.</summary>
public sealed class InFlightTests
{
    private const int Size = 256 * 1024, Room = (int)(InFlight.MostBytes / Size);

    [Fact]
    public async Task Nothing_more_is_read_while_too_much_is_not_acknowledged()
    {
        var inFlight = new InFlight();
        using var channel = inFlight.Around(new Flood());
        for (var i = 0; i < Room; i++)
            Assert.True(channel.ReceivePacketAsync(TestContext.Current.CancellationToken).IsCompletedSuccessfully);
        var next = channel.ReceivePacketAsync(TestContext.Current.CancellationToken);
        Assert.False(next.IsCompleted);
        inFlight.Left(Size);
        Assert.Equal(Size, Assert.IsType<MqttPublishPacket>(await next).Payload.Length);

        using var stop = new CancellationTokenSource();
        var last = channel.ReceivePacketAsync(stop.Token);
        Assert.False(last.IsCompleted);
        await stop.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => last);
    }

    [Fact]
    public async Task More_than_the_bound_comes_through_while_it_is_acknowledged()
    {
        using var broker = await Mosquitto.StartAsync();
        var came = 0;
        var link = new MqttLink(
            new BrokerOptions { Port = broker.Port, ClientId = "link-under-test" },
            ["yard/t"],
            async (message, ct) =>
            {
                await message.AcknowledgeAsync(ct);
                Interlocked.Increment(ref came);
            },
            TimeProvider.System,
            Logger.None);
        using var stop = new CancellationTokenSource();
        var running = link.RunAsync(stop.Token);
        await Until.TrueAsync(() => link.IsUp, "the link is up");
        using var peer = await Peer.ConnectAsync(broker.Port);
        var large = new string('1', Size - 100);
        for (var i = 0; i < 2 * Room; i++)
            await peer.PublishAsync("yard/t", large);
        await Until.TrueAsync(() => Volatile.Read(ref came) == 2 * Room, "all have come");
        await stop.CancelAsync();
        await running;
    }

    /// <summary>A broker that has always one more.</summary>
    private sealed class Flood : IMqttChannelAdapter
    {
        public long BytesReceived => 0;

        public long BytesSent => 0;

        public X509Certificate2 ClientCertificate => null!;

        public EndPoint RemoteEndPoint => null!;

        public EndPoint LocalEndPoint => null!;

        public bool IsSecureConnection => false;

        public MqttPacketFormatterAdapter PacketFormatterAdapter => null!;

        public Task ConnectAsync(CancellationToken cancellationToken) => Task.CompletedTask;

        public Task DisconnectAsync(CancellationToken cancellationToken) => Task.CompletedTask;

        public Task<MqttPacket> ReceivePacketAsync(CancellationToken cancellationToken) =>
            Task.FromResult<MqttPacket>(new MqttPublishPacket { Topic = "yard/t", Payload = new(new byte[Size]) });

        public void ResetStatistics()
        {
        }

        public Task SendPacketAsync(MqttPacket packet, CancellationToken cancellationToken) => Task.CompletedTask;

        public void Dispose()
        {
        }
    }
}
