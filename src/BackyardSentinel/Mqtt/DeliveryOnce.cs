using System.Runtime.CompilerServices;
using MQTTnet.Packets;
using MQTTnet.Protocol;
using MQTTnet.Server;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// What the library's server leaves out of MQTT 5 (4.3.3, 3.3.1.1, 3.3.2.1): a message of QoS 2 that a client sends again before it
/// released it is passed on once only; a message that the broker itself sends again bears the mark DUP; and a topic with a wildcard
/// is none.
/// </summary>
internal sealed class DeliveryOnce
{
    private static readonly object UnreleasedKey = new(), AgainKey = new();

    private readonly ConditionalWeakTable<MqttPublishPacket, object> _sent = [];

    /// <summary>A packet came. What a client has not released yet is kept with its session, which may outlive the connection.</summary>
    public static Task ComeAsync(InterceptingPacketEventArgs args)
    {
        switch (args.Packet)
        {
            case MqttPublishPacket { QualityOfServiceLevel: MqttQualityOfServiceLevel.ExactlyOnce } message:
                if (args.SessionItems[UnreleasedKey] is not HashSet<ushort> unreleased)
                    args.SessionItems[UnreleasedKey] = unreleased = [];
                // Without the mark it is a new message of a client that has lost what it knew, whatever its identifier.
                args.SessionItems[AgainKey] = !unreleased.Add(message.PacketIdentifier) && message.Dup;
                break;
            case MqttPubRelPacket release:
                (args.SessionItems[UnreleasedKey] as HashSet<ushort>)?.Remove(release.PacketIdentifier);
                break;
        }

        return Task.CompletedTask;
    }

    /// <summary>The message of the packet that came last, or a last will, is to be passed on.</summary>
    public static Task PassOnAsync(InterceptingPublishEventArgs args)
    {
        if (args.SessionItems[AgainKey] is true)
        {
            args.SessionItems[AgainKey] = false;
            args.ProcessPublish = false;
        }

        if (args.ApplicationMessage.Topic is { } topic && topic.AsSpan().ContainsAny('+', '#'))
            (args.ProcessPublish, args.CloseConnection) = (false, true);
        return Task.CompletedTask;
    }

    /// <summary>A packet goes out; the library sends the same one again where a connection broke before it was acknowledged.</summary>
    public Task GoAsync(InterceptingPacketEventArgs args)
    {
        if (args.Packet is MqttPublishPacket { QualityOfServiceLevel: > MqttQualityOfServiceLevel.AtMostOnce } message
            && !_sent.TryAdd(message, args))
            message.Dup = true;
        return Task.CompletedTask;
    }
}
