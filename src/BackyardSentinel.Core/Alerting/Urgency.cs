namespace BackyardSentinel.Alerting;

/// <summary>How urgent an alert is. Receivers map it to their own priorities.</summary>
public enum Urgency
{
    /// <summary>Good to know; no sound needed.</summary>
    Low,

    /// <summary>To be seen today.</summary>
    Normal,

    /// <summary>To be seen now.</summary>
    High,
}
