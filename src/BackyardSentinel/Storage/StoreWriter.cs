using BackyardSentinel.Wording;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>The prepared statements of one connection that write a batch.</summary>
internal sealed class StoreWriter : IDisposable
{
    /// <summary>Rows kept in quarantine; the oldest go first.</summary>
    private const int QuarantineRows = 1000;

    /// <summary>Bytes of a payload kept in quarantine.</summary>
    public const int QuarantineBytes = 200;

    /// <summary>Deliveries kept; as many as a broker is advised to keep waiting. The oldest go first.</summary>
    public const int DeliveryRows = 10_000;

    private readonly SqliteConnection _connection;
    private readonly SqliteCommand _reading;
    private readonly SqliteCommand _total;
    private readonly SqliteCommand _event;
    private readonly SqliteCommand _outage;
    private readonly SqliteCommand _outbox;
    private readonly SqliteCommand _quarantine;
    private readonly SqliteCommand _prune;
    private readonly SqliteCommand _delivery;
    private readonly SqliteCommand _forget;
    private readonly HourSums _hours;

    public StoreWriter(SqliteConnection connection)
    {
        _connection = connection;
        _hours = new HourSums(connection);
        _reading = Prepare("insert or ignore into readings(time_ms, series, value, lag_us, sum) values($a, $b, $c, $d, $e)", 5);
        _total = Prepare(
            "insert into totals values($a, $b, $c, $d) on conflict(series) do update set total = excluded.total, "
                + "time_ms = excluded.time_ms, sum = excluded.sum",
            4);
        _event = Prepare("insert or ignore into events(key, at) values($a, $b)", 2);
        _outage = Prepare("insert or ignore into outages(from_ms) values($a)", 1);
        _outbox = Prepare(OutboxSql.Insert, 10);
        _quarantine = Prepare(
            "insert into quarantine(topic, reason, first_us, last_us, count, payload, value) values($a, $b, $c, $c, 1, $d, "
                + "$e) on conflict(topic, reason) do update set last_us = excluded.last_us, count = count + 1, "
                + "payload = excluded.payload, value = excluded.value",
            5);
        _prune = Prepare(
            "delete from quarantine where last_us < (select last_us from quarantine order by last_us desc limit "
                + $"1 offset {QuarantineRows - 1})",
            0);
        _delivery = Prepare("insert into deliveries values($a, $b, $c, $d, $e)", 5);
        _forget = Prepare("delete from deliveries where number < $a", 1);
    }

    /// <summary>Readings were changed otherwise: their hours are looked up anew.</summary>
    public void Reload() => _hours.Reload();

    public CommitResult Commit(StoreBatch batch)
    {
        StoreFiles.MustBeThere(_connection);
        _hours.Forget(); // What an earlier try had gathered.
        using var transaction = _connection.BeginTransaction();
        var readings = new bool[batch.Readings.Count];
        for (var i = 0; i < readings.Length; i++)
        {
            var row = batch.Readings[i];
            var sum = RowSum.Of(row);
            readings[i] = Run(_reading, transaction, row.TimeMs, row.Series, ReadingRow.Packed(row.Value), ReadingRow.LagUs(row), sum) > 0;
            if (readings[i])
                _hours.Add(row, sum);
        }

        _hours.Write();
        foreach (var row in batch.Totals) Run(_total, transaction, row.Series, row.Total, row.TimeMs, RowSum.Of(row));
        var events = new bool[batch.Events.Count];
        for (var i = 0; i < events.Length; i++)
        {
            var row = batch.Events[i];
            events[i] = Run(_event, transaction, row.Key, row.AtMs) > 0;
        }

        foreach (var since in batch.Outages) Run(_outage, transaction, since.ToUnixTimeMilliseconds());
        foreach (var row in batch.Outbox) Run(_outbox, transaction, OutboxSql.Values(row));
        foreach (var row in batch.Quarantine)
            Run(
                _quarantine,
                transaction,
                row.Topic,
                KeptSentence.Write(row.Reason),
                row.ReceivedUs,
                row.Payload.AsSpan(0, Math.Min(row.Payload.Length, QuarantineBytes)).ToArray(),
                row.Value is { } value ? value : DBNull.Value);
        if (batch.Quarantine.Count > 0)
            Run(_prune, transaction);
        if (batch.ForgetDeliveries)
            Run(_forget, transaction, long.MaxValue);
        foreach (var row in batch.Deliveries)
            Run(_delivery, transaction, row.Number, row.PacketId, row.Digest, row.Waited, RowSum.Of(row));
        if (batch.Deliveries.Count > 0)
            Run(_forget, transaction, batch.Deliveries[^1].Number - DeliveryRows + 1);

        transaction.Commit();
        _hours.Committed();
        return new CommitResult(readings, events);
    }

    public void Dispose()
    {
        foreach (var command in (ReadOnlySpan<SqliteCommand>)
                 [_reading, _total, _event, _outage, _outbox, _quarantine, _prune, _delivery, _forget])
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
