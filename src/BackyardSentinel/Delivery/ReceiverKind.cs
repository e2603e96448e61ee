namespace BackyardSentinel.Delivery;

/// <summary>The kinds of receiver.</summary>
public enum ReceiverKind
{
    /// <summary>An HTTP request to an address.</summary>
    Webhook,

    /// <summary>An MQTT message.</summary>
    Topic,

    /// <summary>Written out and sent nowhere.</summary>
    DryRun,
}
