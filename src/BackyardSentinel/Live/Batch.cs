using BackyardSentinel.Events;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Storage;
using Microsoft.Data.Sqlite;
using Polly;

namespace BackyardSentinel.Live;

/// <summary>
/// What was judged and is not safe yet: rows for one transaction, and the messages they came from, which are acknowledged in
/// the order of arrival once it has ended. Used by the loop's thread only.
/// </summary>
/// <param name="store">The store.</param>
/// <param name="patience">Asks a store that takes nothing until it does.</param>
/// <param name="options">When a commit is due.</param>
/// <param name="time">The clock of the commit window.</param>
internal sealed class Batch(SentinelStore store, ResiliencePipeline patience, LoopOptions options, TimeProvider time)
{
    private readonly HashSet<(int Series, long TimeMs)> _readings = [];
    private readonly List<ArrivedMessage> _unacknowledged = [];
    private readonly Dictionary<int, long> _lastMs = [];
    private readonly long _storedUntilMs = store.LastTimeMs();
    private long _began, _bytes;

    /// <summary>The rows so far.</summary>
    public StoreBatch Rows { get; } = new();

    /// <summary>Messages taken and not acknowledged.</summary>
    public int Unacknowledged => _unacknowledged.Count;

    /// <summary>A message is being taken: what it gives comes into this batch.</summary>
    public void Begin(ArrivedMessage message)
    {
        if (_unacknowledged.Count == 0)
            _began = time.GetTimestamp();
        _unacknowledged.Add(message);
        _bytes += message.Payload.Length;
    }

    /// <summary>The reading is neither in the store nor in this batch; the batch now keeps its place.</summary>
    /// <param name="series">The series' number.</param>
    /// <param name="timeMs">The reading's time, ms since 1970 UTC.</param>
    /// <param name="ct">Gives up while the store takes nothing.</param>
    public async ValueTask<bool> IsNewAsync(int series, long timeMs, CancellationToken ct)
    {
        if (!_readings.Add((series, timeMs)))
            return false;
        // Nearly every reading is later than all before it of its series, and need not be looked for.
        if (timeMs > _lastMs.GetValueOrDefault(series, _storedUntilMs))
        {
            _lastMs[series] = timeMs;
            return true;
        }

        try
        {
            return !store.Has(series, timeMs);
        }
        catch (SqliteException)
        {
            return await patience.ExecuteAsync(_ => ValueTask.FromResult(!store.Has(series, timeMs)), ct).ConfigureAwait(false);
        }
    }

    /// <summary>Rows are gathered while more messages are at hand; it is time to commit.</summary>
    /// <param name="inbox">Where messages wait.</param>
    /// <param name="isCatchingUp">What waited at the broker is coming in.</param>
    public bool IsDue(Inbox inbox, bool isCatchingUp)
    {
        if (Rows.Readings.Count >= options.MaxRows || _unacknowledged.Count >= options.MaxRows || _bytes >= Inbox.MostBytes)
            return true;
        if (_unacknowledged.Count == 0)
            return false;
        // A broker that keeps back the rest of its queue until this is acknowledged must not be waited for.
        var isWaitedFor =
            isCatchingUp || _unacknowledged.Count >= options.MaxUnacknowledged || _unacknowledged[^1].Delivery is { Waited: true };
        return (isWaitedFor && inbox.IsEmpty) || time.GetElapsedTime(_began) >= options.CommitWindow;
    }

    /// <summary>Commits the rows with these events in one transaction, then acknowledges the messages.</summary>
    /// <param name="events">What was raised.</param>
    /// <param name="ct">Gives up while the store takes nothing; nothing is acknowledged then.</param>
    /// <returns>The events that the store did not know.</returns>
    public async Task<IReadOnlyList<SentinelEvent>> CommitAsync(IReadOnlyList<SentinelEvent> events, CancellationToken ct)
    {
        foreach (var fact in events)
            Rows.Events.Add(new StoredEvent(fact.Key, fact.At.ToUnixTimeMilliseconds()));
        CommitResult stored = new([], []);
        if (!Rows.IsEmpty)
            stored = await patience.ExecuteAsync(_ => ValueTask.FromResult(store.Commit(Rows)), ct).ConfigureAwait(false);
        Rows.Clear();
        _readings.Clear();
        foreach (var message in _unacknowledged)
            await message.AcknowledgeAsync(ct).ConfigureAwait(false);
        _unacknowledged.Clear();
        _bytes = 0;
        return [.. events.Where((_, i) => stored.Events[i])];
    }
}
