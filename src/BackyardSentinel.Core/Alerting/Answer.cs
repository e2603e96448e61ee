namespace BackyardSentinel.Alerting;

/// <summary>What the grower answered to an alert. It is an input like a reading: kept, and repeated after a restart.</summary>
/// <param name="Episode">The alert's episode.</param>
/// <param name="At">When the answer came, UTC.</param>
public abstract record Answer(string Episode, DateTimeOffset At);

/// <summary>Seen: nothing more of this episode unless it climbs a rung.</summary>
/// <param name="Episode">The alert's episode.</param>
/// <param name="At">When the answer came, UTC.</param>
public sealed record SeenAnswer(string Episode, DateTimeOffset At) : Answer(Episode, At);

/// <param name="Episode">The alert's episode.</param>
/// <param name="At">When the answer came, UTC.</param>
/// <summary>Nothing of this episode before <paramref name="Until"/>; what comes up meanwhile waits.</summary>
/// <param name="Until">A moment after <paramref name="At"/>, UTC.</param>
public sealed record LaterAnswer(string Episode, DateTimeOffset At, DateTimeOffset Until) : Answer(Episode, At);
