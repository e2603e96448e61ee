using MQTTnet.Adapter;
using MQTTnet.Diagnostics.Logger;
using MQTTnet.Formatter;
using MQTTnet.Packets;
using MQTTnet.Server;
using MQTTnet.Server.Internal.Adapter;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// Gives a name to clients that connect without one, which MQTT 3.1.1 (3.1.3.1) lets a broker do where they ask for a clean
/// session. The library does so for MQTT 5 only, and many a small command-line client of 3.1.1 gives none.
/// </summary>
internal sealed class NamingAdapter : IMqttServerAdapter
{
    /// <summary>The name of a client that gives none.</summary>
    internal static string GuestName() => "guest-" + Guid.NewGuid().ToString("N")[..12];

    private readonly MqttTcpServerAdapter _inner = new();

    public Func<IMqttChannelAdapter, Task>? ClientHandler { get; set; }

    public Task StartAsync(MqttServerOptions options, IMqttNetLogger logger)
    {
        _inner.ClientHandler = channel => ClientHandler!(new Channel(channel));
        return _inner.StartAsync(options, logger);
    }

    public Task StopAsync() => _inner.StopAsync();

    public void Dispose() => _inner.Dispose();

    private sealed class Channel(IMqttChannelAdapter inner) : ChannelAround(inner)
    {
        public override async Task<MqttPacket> ReceivePacketAsync(CancellationToken cancellationToken)
        {
            var packet = await Inner.ReceivePacketAsync(cancellationToken).ConfigureAwait(false);
            if (
                packet is MqttConnectPacket { ClientId: null or "", CleanSession: true } connect
                && PacketFormatterAdapter.ProtocolVersion != MqttProtocolVersion.V500)
                connect.ClientId = GuestName();
            return packet;
        }
    }
}
