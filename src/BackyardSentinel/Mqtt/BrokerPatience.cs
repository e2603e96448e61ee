namespace BackyardSentinel.Mqtt;

/// <summary>How long a broker is waited for.</summary>
public static class BrokerPatience
{
    /// <summary>
    /// How long the broker may take over one step: connecting, a subscription, a message. The MQTT library has no limit of
    /// its own for calls that can be cancelled, and a broker may take a connection and say nothing for ever.
    /// </summary>
    public static readonly TimeSpan StepLimit = TimeSpan.FromSeconds(20);

    /// <summary>
    /// The same for each of the two last steps, what still waits and the goodbye; both end within the ten seconds that
    /// service managers and containers give for a stop.
    /// </summary>
    public static readonly TimeSpan LastStepLimit = TimeSpan.FromSeconds(4);
}
