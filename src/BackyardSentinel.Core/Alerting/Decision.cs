namespace BackyardSentinel.Alerting;

/// <summary>What became of an occasion, always with its reason in words.</summary>
/// <param name="Reason">Why, as a clause without a full stop.</param>
public abstract record Decision(string Reason);

/// <summary>A message goes out.</summary>
/// <param name="Alert">The message.</param>
/// <param name="Reason">Why, as a clause without a full stop.</param>
public sealed record Send(Alert Alert, string Reason) : Decision(Reason);

/// <summary>The occasion waits. What becomes of it is decided no earlier than <paramref name="Until"/>.</summary>
/// <param name="Occasion">What waits.</param>
/// <param name="Until">A whole minute, UTC.</param>
/// <param name="Reason">Why, as a clause without a full stop.</param>
public sealed record Hold(Occasion Occasion, DateTimeOffset Until, string Reason) : Decision(Reason);

/// <summary>The occasion is not told by itself, now or later.</summary>
/// <param name="Occasion">What is not told.</param>
/// <param name="Why">Why.</param>
public sealed record Drop(Occasion Occasion, DropReason Why) : Decision(Why.Clause());
