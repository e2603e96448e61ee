namespace BackyardSentinel.Mqtt;

/// <summary>The link is down; the message says why. The link itself catches it and tries again.</summary>
public sealed class LinkException(string message, bool takenOver = false, Exception? inner = null) : Exception(message, inner)
{
    /// <summary>Another client uses our id, so coming back at once would throw it out in turn.</summary>
    public bool TakenOver { get; } = takenOver;
}
