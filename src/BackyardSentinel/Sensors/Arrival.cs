namespace BackyardSentinel.Sensors;

/// <summary>When a message came, and how.</summary>
/// <param name="At">When it was taken up, UTC.</param>
/// <param name="Retained">It is the broker's stored copy.</param>
/// <param name="Redelivered">The broker says that it has sent it before.</param>
internal readonly record struct Arrival(DateTimeOffset At, bool Retained, bool Redelivered);
