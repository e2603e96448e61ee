using BackyardSentinel.Wording;

namespace BackyardSentinel.Mqtt;

/// <summary>The link to the broker is down.</summary>
/// <param name="Since">Since when, UTC.</param>
/// <param name="Says">Why, and what to do.</param>
public sealed record LinkTrouble(DateTimeOffset Since, Sentence Says);
