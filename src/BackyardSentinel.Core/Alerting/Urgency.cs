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

/// <summary>The words for <see cref="Urgency"/>.</summary>
public static class UrgencyWords
{
    /// <summary>The word in messages and in JSON.</summary>
    public static string Word(this Urgency urgency) => urgency switch
    {
        Urgency.Low => "low",
        Urgency.Normal => "normal",
        Urgency.High => "high",
    };
}
