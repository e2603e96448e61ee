using System.Text.Json.Serialization;

namespace BackyardSentinel.Contract;

/// <summary>sentinel/state: birth, goodbye and last will.</summary>
/// <param name="State">watching; stopped after a stop; lost when the broker missed it.</param>
/// <param name="Since">Since when, UTC; the last will knows no time and has none.</param>
[SchemaFile("state")]
public sealed record StateTopic(
    ServiceState State,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)][Unless(nameof(State), "lost")] DateTimeOffset? Since);

/// <summary>Whether the service is there.</summary>
public enum ServiceState
{
    /// <summary>It reads its sensors.</summary>
    Watching,

    /// <summary>It was stopped.</summary>
    Stopped,

    /// <summary>The broker missed it.</summary>
    Lost,
}
