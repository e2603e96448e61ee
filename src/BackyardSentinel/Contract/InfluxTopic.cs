namespace BackyardSentinel.Contract;

/// <summary>sentinel/influx: how far the season is copied to InfluxDB.</summary>
/// <param name="State">How it stands.</param>
/// <param name="Since">Since when it stands so, UTC.</param>
/// <param name="SafeUntil">Readings that came up to then are there, UTC; null: none yet.</param>
/// <param name="Waiting">Readings in the store that are not there yet.</param>
/// <param name="LastAnswer">What the server last said against it; null: nothing since the start.</param>
/// <param name="RefusedPoints">Points that the server refused for good since the start.</param>
[SchemaFile("influx")]
public sealed record InfluxTopic(
    InfluxState State,
    DateTimeOffset Since,
    DateTimeOffset? SafeUntil,
    [Bounds(0)] long Waiting,
    string? LastAnswer,
    [Bounds(0)] long RefusedPoints);

/// <summary>How the copying to InfluxDB stands.</summary>
public enum InfluxState
{
    /// <summary>The server takes what comes, or has not been asked yet.</summary>
    Forwarding,

    /// <summary>The server takes nothing at the moment; it is asked again.</summary>
    Waiting,

    /// <summary>The server takes nothing from this service: address, organization, bucket or token is wrong.</summary>
    NotAllowed,
}
