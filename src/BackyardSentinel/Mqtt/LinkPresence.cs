using MQTTnet.Protocol;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// How a link shows on one retained topic that it is there. A connection has one last will, so a second presence needs a second link.
/// </summary>
/// <param name="Topic">The topic.</param>
/// <param name="Birth">Said on connecting, before any other message; takes the moment, UTC.</param>
/// <param name="Goodbye">Said last, before a clean end; takes the moment, UTC.</param>
/// <param name="Will">What the broker says when the link vanishes.</param>
public sealed record LinkPresence(
    string Topic,
    Func<DateTimeOffset, ReadOnlyMemory<byte>> Birth,
    Func<DateTimeOffset, ReadOnlyMemory<byte>> Goodbye,
    ReadOnlyMemory<byte> Will)
{
    /// <summary>Said after each connecting once everything known has been sent; <c>null</c>: the birth is enough.</summary>
    public ReadOnlyMemory<byte>? AllSent { get; init; }

    /// <summary>Quality of service of all that the link publishes; at least once (1) unless set.</summary>
    public MqttQualityOfServiceLevel QualityOfService { get; init; } = MqttQualityOfServiceLevel.AtLeastOnce;
}
