using BackyardSentinel.Storage;

namespace BackyardSentinel.Delivery;

/// <summary>
/// Whether alerts can get out at all. The path is dead when a message has been open for 24 h and no receiver that counts has taken
/// anything since it was written.
/// </summary>
/// <param name="receivers">All receivers: where some are answered by whoever they reach, only those count.</param>
public sealed class AlertPathHealth(IReadOnlyCollection<(string Name, bool IsAnswered)> receivers)
{
    private readonly string[] _counting =
    [
        .. receivers.Where(one => one.IsAnswered || !receivers.Any(other => other.IsAnswered)).Select(one => one.Name),
    ];

    /// <summary>How long nothing may work before the path counts as dead.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromHours(24);

    private readonly Lock _gate = new();
    private volatile Standing _standing = new(false, null, null);
    private readonly Dictionary<string, string> _problems = new(StringComparer.Ordinal);

    /// <summary>Told when the path has died or works again, or something got out, on a sender's thread.</summary>
    public event EventHandler? Changed;

    /// <summary>No way has worked for 24 h although something waits.</summary>
    public bool IsDead => _standing.IsDead;

    /// <summary>When any receiver last took a message; <c>null</c>: never.</summary>
    public DateTimeOffset? LastWorkedAt => _standing.LastWorkedAt;

    /// <summary>
    /// When the oldest message was written that did not get through and that none came through after; <c>null</c>: there is none.
    /// </summary>
    public DateTimeOffset? OpenSince => _standing.OpenSince;

    /// <summary>The latest trouble of each receiver that has some, as a sentence.</summary>
    public IReadOnlyDictionary<string, string> Problems
    {
        get
        {
            lock (_gate) return new Dictionary<string, string>(_problems, StringComparer.Ordinal);
        }
    }

    /// <summary>Looks at the outbox again.</summary>
    /// <param name="outbox">The outbox.</param>
    /// <param name="now">Now.</param>
    internal void Look(OutboxStore outbox, DateTimeOffset now)
    {
        var workedMs = _counting.Max(outbox.LastDeliveredMs);
        var (worked, open) = (Moment(workedMs), Moment(_counting.Min(one => outbox.OldestOpenMs(one, workedMs ?? long.MinValue))));
        bool changed;
        lock (_gate)
        {
            var dead = open is { } since && now - since >= Patience;
            changed = dead != IsDead || worked != LastWorkedAt;
            _standing = new Standing(dead, worked, open);
        }

        if (changed) Changed?.Invoke(this, EventArgs.Empty);
    }

    /// <summary>Notes a receiver's trouble, or its end.</summary>
    /// <param name="receiver">The receiver.</param>
    /// <param name="sentence">The trouble; <c>null</c>: it works.</param>
    /// <returns>The receiver had no trouble before.</returns>
    internal bool Note(string receiver, string? sentence)
    {
        lock (_gate)
        {
            if (sentence is null) return _problems.Remove(receiver);
            var isNew = !_problems.ContainsKey(receiver);
            _problems[receiver] = sentence;
            return isNew;
        }
    }

    private static DateTimeOffset? Moment(long? ms) => ms is { } known ? DateTimeOffset.FromUnixTimeMilliseconds(known) : null;

    /// <summary>Read from other threads, so all of it is set at once.</summary>
    private sealed record Standing(bool IsDead, DateTimeOffset? LastWorkedAt, DateTimeOffset? OpenSince);
}
