namespace BackyardSentinel.Storage;

/// <summary>How an outgoing message stands. All but <see cref="Waiting"/> are ends.</summary>
public enum OutboxState
{
    /// <summary>To be sent, for the first time or again.</summary>
    Waiting,

    /// <summary>The receiver took it.</summary>
    Delivered,

    /// <summary>A newer message of the same episode took its place before it got through.</summary>
    Superseded,

    /// <summary>Its use ended before it got through; not yet told.</summary>
    Expired,

    /// <summary>The receiver will never take it; not yet told by a digest.</summary>
    Rejected,

    /// <summary>Expired, and a digest that got through counted it.</summary>
    ExpiredReported,

    /// <summary>Rejected, and a digest that got through counted it, or the log said that its receiver is gone.</summary>
    RejectedReported,
}

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
