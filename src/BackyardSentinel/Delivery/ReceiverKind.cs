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

/// <summary>The words of the garden file.</summary>
public static class ReceiverKindWords
{
    /// <summary>As the garden file spells it: <c>dry-run</c>.</summary>
    public static string Word(this ReceiverKind kind) => kind switch
    {
        ReceiverKind.Webhook => "webhook",
        ReceiverKind.Topic => "topic",
        ReceiverKind.DryRun => "dry-run",
    };
}
