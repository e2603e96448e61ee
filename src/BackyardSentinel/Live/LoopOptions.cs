namespace BackyardSentinel.Live;

/// <summary>How the loop batches and what its clock is.</summary>
public sealed record LoopOptions
{
    /// <summary>First part of the topics that are published.</summary>
    public string TopicRoot { get; init; } = "sentinel";

    /// <summary>Longest time a message waits for its commit; 30 s unless set. A longer window spares an SD card.</summary>
    public TimeSpan CommitWindow { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>
    /// Messages waiting for an acknowledgement that force a commit; 20 unless set. Brokers stop sending at a limit
    /// like this one, so waiting for more would wait for ever.
    /// </summary>
    public int MaxUnacknowledged { get; init; } = 20;

    /// <summary>Rows that force a commit; 256 unless set.</summary>
    public int MaxRows { get; init; } = 256;

    /// <summary>Messages that may wait for the loop; 1024 unless set.</summary>
    public int Capacity { get; init; } = 1024;

    /// <summary>The readings' own times are the clock (demo and proofs); otherwise the wall is.</summary>
    public bool ClockFromReadings { get; init; }

    /// <summary>Start of the season to rebuild from; <c>null</c> takes all that is stored.</summary>
    public DateTimeOffset? SeasonStart { get; init; }

    /// <summary>Readings are kept for so many years, of earlier ones hourly values; <c>null</c> keeps them always.</summary>
    public int? KeepYears { get; init; }

    /// <summary>How long a stop may take before what is not yet committed is left to the broker; 4 s unless set.</summary>
    public TimeSpan StopPatience { get; init; } = TimeSpan.FromSeconds(4);
}
