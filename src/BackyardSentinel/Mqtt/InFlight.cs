using MQTTnet;
using MQTTnet.Adapter;
using MQTTnet.Diagnostics.Logger;
using MQTTnet.Implementations;
using MQTTnet.Packets;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// Bounds the bytes of one connection that were received and are not acknowledged. The Receive Maximum counts messages, not bytes, some
/// brokers send more than it allows, and the library keeps in memory whatever comes: so no more is read from the connection while
/// there are too many, and the rest waits at the broker. Safe for several threads.
/// </summary>
public sealed class InFlight : IMqttClientAdapterFactory
{
    /// <summary>As many bytes, and one message more: thousands of a sensor's messages, of some hundred each.</summary>
    public const long MostBytes = 32 * 1024 * 1024;

    private readonly MqttClientAdapterFactory _factory = new();
    private readonly Lock _gate = new();
    private TaskCompletionSource? _room;
    private long _bytes;

    /// <inheritdoc/>
    public IMqttChannelAdapter CreateClientAdapter(MqttClientOptions options, MqttPacketInspector packetInspector, IMqttNetLogger logger) =>
        Around(_factory.CreateClientAdapter(options, packetInspector, logger));

    /// <summary>A channel with the bound in it.</summary>
    /// <param name="channel">The library's.</param>
    public IMqttChannelAdapter Around(IMqttChannelAdapter channel) => new Channel(channel, this);

    /// <summary>A message is acknowledged, or never will be.</summary>
    /// <param name="bytes">Its bytes.</param>
    public void Left(long bytes)
    {
        TaskCompletionSource? room = null;
        lock (_gate)
        {
            _bytes -= bytes;
            if (_bytes < MostBytes)
                (room, _room) = (_room, null);
        }

        room?.SetResult();
    }

    private void Came(long bytes)
    {
        lock (_gate) _bytes += bytes;
    }

    private Task RoomAsync(CancellationToken ct)
    {
        lock (_gate)
        {
            if (_bytes < MostBytes)
                return Task.CompletedTask;
            _room ??= new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            return _room.Task.WaitAsync(ct);
        }
    }

    private sealed class Channel(IMqttChannelAdapter inner, InFlight inFlight) : ChannelAround(inner)
    {
        public override async Task<MqttPacket> ReceivePacketAsync(CancellationToken cancellationToken)
        {
            await inFlight.RoomAsync(cancellationToken).ConfigureAwait(false);
            var packet = await Inner.ReceivePacketAsync(cancellationToken).ConfigureAwait(false);
            if (packet is MqttPublishPacket { Payload.Length: var bytes })
                inFlight.Came(bytes);
            return packet;
        }
    }
}
