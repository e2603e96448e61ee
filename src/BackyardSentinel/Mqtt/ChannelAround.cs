using System.Net;
using System.Security.Cryptography.X509Certificates;
using MQTTnet.Adapter;
using MQTTnet.Formatter;
using MQTTnet.Packets;

namespace BackyardSentinel.Mqtt;

/// <summary>A channel of the MQTT library with something of ours on the way of what is received; the rest is as it was.</summary>
/// <param name="inner">The library's channel.</param>
internal abstract class ChannelAround(IMqttChannelAdapter inner) : IMqttChannelAdapter
{
    /// <summary>The library's channel.</summary>
    protected IMqttChannelAdapter Inner => inner;

    public long BytesReceived => inner.BytesReceived;

    public long BytesSent => inner.BytesSent;

    public X509Certificate2 ClientCertificate => inner.ClientCertificate;

    public EndPoint RemoteEndPoint => inner.RemoteEndPoint;

    public EndPoint LocalEndPoint => inner.LocalEndPoint;

    public bool IsSecureConnection => inner.IsSecureConnection;

    public MqttPacketFormatterAdapter PacketFormatterAdapter => inner.PacketFormatterAdapter;

    public Task ConnectAsync(CancellationToken cancellationToken) => inner.ConnectAsync(cancellationToken);

    public Task DisconnectAsync(CancellationToken cancellationToken) => inner.DisconnectAsync(cancellationToken);

    public abstract Task<MqttPacket> ReceivePacketAsync(CancellationToken cancellationToken);

    public void ResetStatistics() => inner.ResetStatistics();

    public Task SendPacketAsync(MqttPacket packet, CancellationToken cancellationToken) => inner.SendPacketAsync(packet, cancellationToken);

    public void Dispose() => inner.Dispose();
}
