namespace BackyardSentinel.Mqtt;

/// <summary>A retained message to publish.</summary>
/// <param name="Topic">Its topic.</param>
/// <param name="Payload">Its bytes; none at all deletes the topic at the broker.</param>
/// <param name="ExpirySeconds">After how long without an update the broker drops it; 0 keeps it.</param>
public sealed record OutgoingMessage(string Topic, ReadOnlyMemory<byte> Payload, uint ExpirySeconds = 0);
