namespace BackyardSentinel.Storage;

/// <summary>One outgoing message for one receiver, as it is kept.</summary>
/// <param name="Id">The message's id; with the receiver it is the key, so that judging again cannot send again.</param>
/// <param name="Receiver">The receiver's id in the garden file.</param>
/// <param name="Episode">What the message belongs to; a newer message of an episode takes the place of one that waits.</param>
/// <param name="CreatedMs">When it was written, ms since 1970 UTC.</param>
/// <param name="UsefulUntilMs">When sending it loses its sense, ms since 1970 UTC.</param>
/// <param name="Message">The message as JSON.</param>
public sealed record OutboxRow(string Id, string Receiver, string Episode, long CreatedMs, long UsefulUntilMs, string Message)
{
    /// <summary>How it stands.</summary>
    public OutboxState State { get; init; } = OutboxState.Waiting;

    /// <summary>Attempts that failed so far.</summary>
    public int Attempts { get; init; }

    /// <summary>While it waits: when the next attempt is due; after its end: when it ended. ms since 1970 UTC.</summary>
    public long NextMs { get; init; } = CreatedMs;

    /// <summary>The latest answer or reason, without secrets.</summary>
    public string? LastAnswer { get; init; }
}
