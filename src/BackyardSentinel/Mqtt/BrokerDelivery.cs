namespace BackyardSentinel.Mqtt;

/// <summary>How the broker delivered a message, by which one that comes again can be told from one that only looks alike.</summary>
/// <param name="Connection">The number of the connection since the start.</param>
/// <param name="SessionGoesOn">The broker knew our session when the connection began, so it may deliver what it delivered before.</param>
/// <param name="PacketId">The packet identifier, 1 to 65535; 0: sent at most once (QoS 0).</param>
/// <param name="Waited">It was waiting at the broker when the connection began.</param>
public readonly record struct BrokerDelivery(int Connection, bool SessionGoesOn, int PacketId, bool Waited);
