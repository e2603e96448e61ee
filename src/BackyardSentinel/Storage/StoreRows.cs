using BackyardSentinel.Wording;

namespace BackyardSentinel.Storage;

/// <summary>One reading as it is kept.</summary>
/// <param name="Series">The series' number in the store.</param>
/// <param name="TimeMs">The reading's time, ms since 1970 UTC.</param>
/// <param name="Value">The value in the quantity's unit.</param>
/// <param name="ReceivedUs">When it was taken up, µs since 1970 UTC; strictly increasing, so it is the order of judging.</param>
public readonly record struct StoredReading(int Series, long TimeMs, double Value, long ReceivedUs);

/// <summary>One event as it is kept: that it is known. What it was is computed again from the readings and the journal.</summary>
/// <param name="Key">Its stable key.</param>
/// <param name="AtMs">When it became known, ms since 1970 UTC.</param>
public readonly record struct StoredEvent(string Key, long AtMs);

/// <summary>Where a running total stood.</summary>
/// <param name="Series">The series' number in the store.</param>
/// <param name="Total">The total, in the quantity's unit.</param>
/// <param name="TimeMs">Its time, ms since 1970 UTC.</param>
public readonly record struct StoredTotal(int Series, double Total, long TimeMs);

/// <summary>A message that the broker delivered and that is safe: what tells it from others, without its content.</summary>
/// <param name="Number">Its place in the order of arrival; no number is left out.</param>
/// <param name="PacketId">Its packet identifier.</param>
/// <param name="Digest">Of its topic and payload.</param>
/// <param name="Waited">It was waiting at the broker when its connection began.</param>
public readonly record struct StoredDelivery(long Number, int PacketId, long Digest, bool Waited);

/// <summary>A message that could not be taken, kept aside.</summary>
/// <param name="Topic">Its topic.</param>
/// <param name="Reason">Why.</param>
/// <param name="ReceivedUs">When it came, µs since 1970 UTC.</param>
/// <param name="Payload">Its first bytes.</param>
/// <param name="Count">How often this topic gave this reason; 1 when handed in.</param>
public sealed record QuarantinedMessage(string Topic, Sentence Reason, long ReceivedUs, byte[] Payload, long Count = 1)
{
    /// <summary>When this topic first gave this reason, µs since 1970 UTC; counts when read back.</summary>
    public long FirstUs { get; init; }

    /// <summary>The refused value in its quantity's unit; <c>null</c>: there was none.</summary>
    public double? Value { get; init; }
}

/// <summary>What goes into the store in one transaction.</summary>
public sealed class StoreBatch
{
    /// <summary>Readings, in the order of judging.</summary>
    public List<StoredReading> Readings { get; } = [];

    /// <summary>Running totals; the last of a series counts.</summary>
    public List<StoredTotal> Totals { get; } = [];

    /// <summary>Events.</summary>
    public List<StoredEvent> Events { get; } = [];

    /// <summary>When outages began, in whole milliseconds.</summary>
    public List<DateTimeOffset> Outages { get; } = [];

    /// <summary>Messages kept aside.</summary>
    public List<QuarantinedMessage> Quarantine { get; } = [];

    /// <summary>Outgoing messages; one that is known by id and receiver stays as it is.</summary>
    public List<OutboxRow> Outbox { get; } = [];

    /// <summary>Messages taken from the broker, in the order of arrival; written in the transaction that holds what they gave.</summary>
    public List<StoredDelivery> Deliveries { get; } = [];

    /// <summary>Deliveries stored before are those of a session that the broker has forgotten.</summary>
    public bool ForgetDeliveries { get; set; }

    /// <summary>Nothing to write.</summary>
    public bool IsEmpty =>
        !ForgetDeliveries
        && Readings.Count + Totals.Count + Events.Count + Outages.Count + Quarantine.Count + Outbox.Count + Deliveries.Count == 0;

    /// <summary>Empties the batch for reuse.</summary>
    public void Clear()
    {
        Readings.Clear();
        Totals.Clear();
        Events.Clear();
        Outages.Clear();
        Quarantine.Clear();
        Outbox.Clear();
        Deliveries.Clear();
        ForgetDeliveries = false;
    }
}

/// <summary>What of a batch was new; the rest was in the store already.</summary>
/// <param name="Readings">For each reading of the batch.</param>
/// <param name="Events">For each event of the batch.</param>
public readonly record struct CommitResult(bool[] Readings, bool[] Events);
