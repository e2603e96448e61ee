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
