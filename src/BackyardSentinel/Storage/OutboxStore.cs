using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// The outbox as its senders see it. They work beside the loop, so they have a connection of their own to the same file:
/// WAL lets both read at any time, and a writer waits up to 5 s for the other. Safe for several threads.
/// New rows come in with the events they tell of, by <see cref="StoreBatch.Outbox"/>.
/// </summary>
public sealed class OutboxStore : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly Lock _gate = new();

    private OutboxStore(SqliteConnection connection) => _connection = connection;

    /// <summary>Opens the outbox of a store that <see cref="SentinelStore.Open"/> has opened or made.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">There is no such store.</exception>
    public static OutboxStore Open(string path) => new(StoreSchema.Beside(path));

    /// <summary>Opens the outbox of a store that no service of this version may have opened before.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static OutboxStore OpenAny(string path) => new(StoreSchema.Open(path));

    /// <summary>Opens the outbox of a store that is there, to read it only.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public static OutboxStore Reading(string path) => new(StoreSchema.Read(path));

    /// <summary>Ends what newer messages replaced and what is past its use, then gives the oldest message that is due.</summary>
    /// <param name="receiver">The receiver.</param>
    /// <param name="nowMs">Now, ms since 1970 UTC.</param>
    public OutboxRow? Take(string receiver, long nowMs)
    {
        lock (_gate)
        {
            using var transaction = _connection.BeginTransaction();
            _connection.Run(OutboxSql.Supersede, receiver, nowMs);
            _connection.Run(OutboxSql.Expire, receiver, nowMs);
            transaction.Commit();
            return Read(OutboxSql.Due, receiver, nowMs).FirstOrDefault();
        }
    }

    /// <summary>Writes down how a message stands now.</summary>
    /// <param name="row">The row with its new state, attempts, time and answer.</param>
    public void Mark(OutboxRow row)
    {
        ArgumentNullException.ThrowIfNull(row);
        lock (_gate) MarkIn(row);
    }

    /// <summary>A digest got through: it and all that it counts are closed in one transaction.</summary>
    /// <param name="digest">The digest's row, delivered.</param>
    /// <param name="counted">Ids of the messages it counts.</param>
    public void MarkReported(OutboxRow digest, IReadOnlyCollection<string> counted)
    {
        ArgumentNullException.ThrowIfNull(digest);
        ArgumentNullException.ThrowIfNull(counted);
        lock (_gate)
        {
            using var transaction = _connection.BeginTransaction();
            MarkIn(digest);
            foreach (var id in counted)
                _connection.Run(
                    "update outbox set state = state || '-reported' where receiver = $a and id = $b and state in ('expired', 'rejected')",
                    digest.Receiver,
                    id);
            transaction.Commit();
        }
    }

    /// <summary>Adds a digest; one of the same episode that still waits is superseded.</summary>
    /// <param name="digest">The new row.</param>
    public void AddDigest(OutboxRow digest)
    {
        ArgumentNullException.ThrowIfNull(digest);
        lock (_gate)
        {
            using var transaction = _connection.BeginTransaction();
            _connection.Run(
                "update outbox set state = 'superseded', next_ms = $c, last_answer = 'a newer digest took its place' where receiver = $a "
                    + "and episode = $b and state = 'waiting'",
                digest.Receiver, digest.Episode, digest.CreatedMs);
            _connection.Run(OutboxSql.Insert, OutboxSql.Values(digest));
            transaction.Commit();
        }
    }

    /// <summary>
    /// Messages of other receivers than these that wait go to each of these that does not have them: one that got another name, say.
    /// Where nobody is left to take them, or their use is over, they are rejected.
    /// </summary>
    /// <param name="receivers">All receivers there are.</param>
    /// <param name="nowMs">Now, ms since 1970 UTC.</param>
    /// <returns>How many were handed over, and how many rejected.</returns>
    public (int HandedOver, int Rejected) HandOverOrphans(IReadOnlyCollection<string> receivers, long nowMs)
    {
        ArgumentNullException.ThrowIfNull(receivers);
        lock (_gate)
        {
            using var transaction = _connection.BeginTransaction();
            var (handedOver, rejected) = (0, 0);
            foreach (
                var gone in _connection.Rows(
                    "select distinct receiver from outbox where state in ('waiting', 'expired', 'rejected')",
                    row => row.GetString(0)))
            {
                if (receivers.Contains(gone)) continue;
                foreach (var heir in receivers)
                    _connection.Run(OutboxSql.HandOver, gone, nowMs, heir);
                if (receivers.Count > 0)
                    handedOver += _connection.Run(OutboxSql.NoteHandOver, gone, nowMs);
                rejected += _connection.Run(OutboxSql.RejectAll, gone, nowMs);
            }

            transaction.Commit();
            return (handedOver, rejected);
        }
    }

    /// <summary>A receiver has another address than it had when this was last asked.</summary>
    /// <param name="receiver">The receiver.</param>
    /// <param name="fingerprint">What it is now.</param>
    public bool HasMoved(string receiver, string fingerprint)
    {
        lock (_gate)
        {
            var kept = _connection.Rows("select value from meta where key = $a", row => row.GetString(0), Address(receiver));
            if (kept is [var before] && before == fingerprint)
                return false;
            _connection.Run("insert or replace into meta(key, value) values($a, $b)", Address(receiver), fingerprint);
            return kept.Count > 0;
        }
    }

    /// <summary>
    /// Messages whose next attempt lies after a moment become due at once: the clock was set back, or the path works again.
    /// </summary>
    /// <param name="receiver">The receiver.</param>
    /// <param name="afterMs">The moment, ms since 1970 UTC.</param>
    /// <param name="nowMs">Now, ms since 1970 UTC.</param>
    public void MakeDue(string receiver, long afterMs, long nowMs)
    {
        lock (_gate)
            _connection.Run(
                "update outbox set next_ms = $c where receiver = $a and state = 'waiting' and next_ms > $b",
                receiver,
                afterMs,
                nowMs);
    }

    /// <summary>When something of this receiver is next to be done, ms since 1970 UTC; <c>null</c>: nothing waits.</summary>
    /// <param name="receiver">The receiver.</param>
    public long? NextDueMs(string receiver)
    {
        lock (_gate) return Moment(OutboxSql.NextDue, receiver);
    }

    /// <summary>Rows of one receiver in one state, oldest first.</summary>
    /// <param name="receiver">The receiver.</param>
    /// <param name="state">The state.</param>
    public IReadOnlyList<OutboxRow> Rows(string receiver, OutboxState state)
    {
        lock (_gate)
            return Read(
                $"select {OutboxSql.Columns} from outbox where receiver = $a and state = $b order by created_ms, id",
                receiver,
                OutboxSql.Word(state));
    }

    /// <summary>All rows, oldest first.</summary>
    public IReadOnlyList<OutboxRow> Rows()
    {
        lock (_gate) return Read($"select {OutboxSql.Columns} from outbox order by created_ms, id, receiver");
    }

    /// <summary>Rows written after a moment, oldest first.</summary>
    /// <param name="afterMs">The moment, ms since 1970 UTC.</param>
    public IReadOnlyList<OutboxRow> RowsAfter(long afterMs)
    {
        lock (_gate)
            return Read($"select {OutboxSql.Columns} from outbox where created_ms > $a order by created_ms, id, receiver", afterMs);
    }

    /// <summary>The rows of one message, one for each receiver.</summary>
    /// <param name="id">The message's id.</param>
    public IReadOnlyList<OutboxRow> RowsOf(string id)
    {
        lock (_gate) return Read($"select {OutboxSql.Columns} from outbox where id = $a order by receiver", id);
    }

    /// <summary>Rows that may tell of an episode, oldest first: those of the episode, and of all messages that tell several.</summary>
    /// <param name="episode">The episode.</param>
    public IReadOnlyList<OutboxRow> RowsAbout(string episode)
    {
        lock (_gate)
            return Read(
                $"select {OutboxSql.Columns} from outbox where episode = $a or {OutboxSql.TellsSeveral} order by created_ms, id, receiver",
                episode);
    }

    /// <summary>When a message last got through, ms since 1970 UTC; <c>null</c>: never.</summary>
    /// <param name="receiver">To this receiver.</param>
    public long? LastDeliveredMs(string receiver)
    {
        lock (_gate)
            return Moment("select max(next_ms) from outbox where state = 'delivered' and receiver = $a", receiver);
    }

    /// <summary>When the last message of an episode was written, ms since 1970 UTC; <c>null</c>: there is none.</summary>
    /// <param name="receiver">To this receiver.</param>
    /// <param name="episode">The episode.</param>
    public long? LastCreatedMs(string receiver, string episode)
    {
        lock (_gate)
            return Moment("select max(created_ms) from outbox where receiver = $a and episode = $b", receiver, episode);
    }

    /// <summary>
    /// When the oldest message was written that was tried in vain and neither delivered nor replaced since, ms since 1970 UTC.
    /// </summary>
    /// <param name="receiver">To this receiver.</param>
    /// <param name="afterMs">Messages written up to this moment are left out, ms since 1970 UTC.</param>
    public long? OldestOpenMs(string receiver, long afterMs)
    {
        lock (_gate)
            return Moment(
                // One that was over when it was first seen was never tried.
                "select min(created_ms) from outbox where receiver = $a and created_ms > $b and state not in ('delivered', 'superseded') "
                    + "and last_answer is not null and not (state = 'expired-reported' and attempts = 0)",
                receiver,
                afterMs);
    }

    /// <summary>Why a receiver is switched off; <c>null</c> while it is on.</summary>
    /// <param name="receiver">The receiver.</param>
    /// <param name="fingerprint">What it is now; one that was changed since is on again.</param>
    public string? SwitchedOff(string receiver, string fingerprint)
    {
        lock (_gate)
        {
            var kept = _connection.Rows("select value from meta where key = $a", row => row.GetString(0), Off(receiver));
            return kept.Count > 0 && kept[0].StartsWith(fingerprint + " ", StringComparison.Ordinal)
                ? kept[0][(fingerprint.Length + 1)..]
                : null;
        }
    }

    /// <summary>Switches a receiver off: it said that it does not want any more.</summary>
    /// <param name="receiver">The receiver.</param>
    /// <param name="fingerprint">What it is now, without spaces.</param>
    /// <param name="reason">Why, as a sentence.</param>
    public void SwitchOff(string receiver, string fingerprint, string reason)
    {
        lock (_gate) _connection.Run("insert or replace into meta(key, value) values($a, $b)", Off(receiver), fingerprint + " " + reason);
    }

    /// <summary>Switches a receiver on again.</summary>
    /// <param name="receiver">The receiver.</param>
    public void SwitchOn(string receiver)
    {
        lock (_gate) _connection.Run("delete from meta where key = $a", Off(receiver));
    }

    /// <summary>Shuts it. Whoever is at it comes to an end before, whoever asks after that gets an exception.</summary>
    public void Dispose()
    {
        lock (_gate) _connection.Dispose();
    }

    private static string Off(string receiver) => "receiver-off/" + receiver;

    private static string Address(string receiver) => "receiver-address/" + receiver;

    private void MarkIn(OutboxRow row) =>
        _connection.Run(
            "update outbox set state = $c, attempts = $d, next_ms = $e, last_answer = $f where id = $a and receiver = $b",
            row.Id, row.Receiver, OutboxSql.Word(row.State), row.Attempts, row.NextMs, row.LastAnswer);

    private List<OutboxRow> Read(string sql, params ReadOnlySpan<object?> values) => _connection.Rows(sql, OutboxSql.Row, values);

    private long? Moment(string sql, params ReadOnlySpan<object?> values) =>
        _connection.Value(sql, values) is long ms ? OutboxSql.Moment(ms) : null;
}
