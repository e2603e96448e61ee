using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>The prepared statements of one connection that write a batch.</summary>
internal sealed class StoreWriter : IDisposable
{
    /// <summary>Rows kept in quarantine; the oldest go first.</summary>
    private const int QuarantineRows = 1000;

    /// <summary>Bytes of a payload kept in quarantine.</summary>
    private const int QuarantineBytes = 200;

    /// <summary>Deliveries kept; as many as a broker is advised to keep waiting. The oldest go first.</summary>
    public const int DeliveryRows = 10_000;

    private readonly SqliteConnection _connection;
    private readonly SqliteCommand _reading;
    private readonly SqliteCommand _total;
    private readonly SqliteCommand _event;
    private readonly SqliteCommand _outbox;
    private readonly SqliteCommand _quarantine;
    private readonly SqliteCommand _prune;
    private readonly SqliteCommand _delivery;
    private readonly SqliteCommand _forget;

    public StoreWriter(SqliteConnection connection)
    {
        _connection = connection;
        _reading = Prepare("insert or ignore into readings values($a, $b, $c, $d)", 4);
        _total = Prepare(
            "insert into totals values($a, $b, $c) on conflict(series) do update set total = excluded.total, time_ms = excluded.time_ms",
            3);
        _event = Prepare("insert or ignore into events values($a, $b)", 2);
        _outbox = Prepare(OutboxSql.Insert, 10);
        _quarantine = Prepare(
            "insert into quarantine(topic, reason, first_us, last_us, count, payload, value) values($a, $b, $c, $c, 1, $d, $e) on conflict(topic, reason) do update set last_us = excluded.last_us, count = count + 1, payload = excluded.payload, value = excluded.value",
            5);
        _prune = Prepare(
            $"delete from quarantine where last_us < (select last_us from quarantine order by last_us desc limit 1 offset {QuarantineRows - 1})",
            0);
        _delivery = Prepare("insert into deliveries values($a, $b, $c, $d)", 4);
        _forget = Prepare("delete from deliveries where number < $a", 1);
    }

    public CommitResult Commit(StoreBatch batch)
    {
        using var transaction = _connection.BeginTransaction();
        var readings = new bool[batch.Readings.Count];
        for (var i = 0; i < readings.Length; i++)
        {
            var row = batch.Readings[i];
            readings[i] = Run(_reading, transaction, row.TimeMs, row.Series, row.Value, row.ReceivedUs) > 0;
        }

        foreach (var row in batch.Totals) Run(_total, transaction, row.Series, row.Total, row.TimeMs);
        var events = new bool[batch.Events.Count];
        for (var i = 0; i < events.Length; i++)
        {
            var row = batch.Events[i];
            events[i] = Run(_event, transaction, row.Key, row.AtMs) > 0;
        }

        foreach (var row in batch.Outbox) Run(_outbox, transaction, OutboxSql.Values(row));
        foreach (var row in batch.Quarantine)
            Run(
                _quarantine,
                transaction,
                row.Topic,
                row.Reason,
                row.ReceivedUs,
                row.Payload.AsSpan(0, Math.Min(row.Payload.Length, QuarantineBytes)).ToArray(),
                row.Value is { } value ? value : DBNull.Value);
        if (batch.Quarantine.Count > 0)
            Run(_prune, transaction);
        if (batch.ForgetDeliveries)
            Run(_forget, transaction, long.MaxValue);
        foreach (var row in batch.Deliveries)
            Run(_delivery, transaction, row.Number, row.PacketId, row.Digest, row.Waited);
        if (batch.Deliveries.Count > 0)
            Run(_forget, transaction, batch.Deliveries[^1].Number - DeliveryRows + 1);

        transaction.Commit();
        return new CommitResult(readings, events);
    }

    public void Dispose()
    {
        foreach (var command in (ReadOnlySpan<SqliteCommand>)[_reading, _total, _event, _outbox, _quarantine, _prune, _delivery, _forget])
            command.Dispose();
    }

    private SqliteCommand Prepare(string sql, int parameters)
    {
        return _connection.Command(sql, new object?[parameters]);
    }

    // Not null but DBNull for nothing: a row that lacks what it must have would be ignored in silence, not refused.
    private static int Run(SqliteCommand command, SqliteTransaction transaction, params ReadOnlySpan<object> values)
    {
        command.Transaction = transaction;
        for (var i = 0; i < values.Length; i++) command.Parameters[i].Value = values[i];
        return command.ExecuteNonQuery();
    }
}
