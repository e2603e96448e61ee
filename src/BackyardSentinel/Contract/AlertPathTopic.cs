namespace BackyardSentinel.Contract;

/// <summary>sentinel/alert-path: whether alerts get out.</summary>
/// <param name="State">dead: alerts wait and no destination has taken one for 24 hours.</param>
/// <param name="OpenSince">Since when the oldest alert waits, UTC; null: none does. On the topic only while dead.</param>
/// <param name="LastWorkedAt">When a destination last took an alert, UTC; null: never yet.</param>
[SchemaFile("alert-path")]
public sealed record AlertPathTopic(AlertPathState State, DateTimeOffset? OpenSince, DateTimeOffset? LastWorkedAt);

/// <summary>Whether alerts get out.</summary>
public enum AlertPathState
{
    /// <summary>They do, or none waits.</summary>
    Working,

    /// <summary>Alerts wait, and no destination has taken one for a day.</summary>
    Dead,
}
