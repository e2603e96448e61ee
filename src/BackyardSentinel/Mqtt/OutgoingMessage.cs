namespace BackyardSentinel.Mqtt;

/// <summary>A message to publish, QoS 1.</summary>
/// <param name="Topic">Its topic.</param>
/// <param name="Payload">Its bytes.</param>
/// <param name="ExpirySeconds">After how long without an update the broker drops it; 0 keeps it.</param>
public sealed record OutgoingMessage(string Topic, ReadOnlyMemory<byte> Payload, uint ExpirySeconds = 0);
