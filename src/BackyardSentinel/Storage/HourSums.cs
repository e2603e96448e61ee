using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// The number of readings of each past hour, by their own times, and what their sums come to. An hour is written down when
/// readings have come that are two hours later, so that this costs no write of its own each time; what comes for it later is
/// added. Hours that are not written down yet rely on the sums of their rows.
/// </summary>
internal sealed class HourSums
{
    /// <summary>Milliseconds of an hour.</summary>
    public const long HourMs = 3_600_000;

    private readonly SqliteConnection _connection;
    private readonly Dictionary<long, (long Readings, long Total)> _open = [], _batch = [];
    private long _last;

    /// <summary>Begins where the file stands.</summary>
    /// <param name="connection">The connection that readings are written by.</param>
    public HourSums(SqliteConnection connection)
    {
        _connection = connection;
        Reload();
    }

    /// <summary>A reading is new in the transaction that runs.</summary>
    /// <param name="row">The reading.</param>
    /// <param name="sum">Its row's sum.</param>
    public void Add(in StoredReading row, long sum) => Put(_batch, HourOf(row.TimeMs), 1, sum);

    /// <summary>Writes, in the transaction that runs, what there is to be written.</summary>
    public void Write()
    {
        if (_batch.Count == 0)
            return;
        var newest = Math.Max(_batch.Keys.Max(), _open.Count > 0 ? _open.Keys.Max() : _last);
        foreach (var (hour, one) in _batch.Where(one => one.Key <= _last))
            Upsert(hour, one);
        foreach (var hour in _open.Keys.Union(_batch.Keys).Where(hour => hour > _last && hour < newest - 1))
        {
            var (before, now) = (_open.GetValueOrDefault(hour), _batch.GetValueOrDefault(hour));
            Upsert(hour, (before.Readings + now.Readings, before.Total + now.Total));
        }
    }

    /// <summary>The transaction is on disk.</summary>
    public void Committed()
    {
        if (_batch.Count == 0)
            return;
        foreach (var (hour, one) in _batch.Where(one => one.Key > _last))
            Put(_open, hour, one.Readings, one.Total);
        _batch.Clear();
        if (_open.Count == 0)
            return;
        _last = Math.Max(_last, _open.Keys.Max() - 2);
        foreach (var hour in _open.Keys.Where(hour => hour <= _last).ToList())
            _open.Remove(hour);
    }

    /// <summary>The transaction did not come about.</summary>
    public void Forget() => _batch.Clear();

    /// <summary>Readings were changed otherwise.</summary>
    public void Reload()
    {
        _open.Clear();
        _batch.Clear();
        _last = LastIn(_connection);
        foreach (
            var (hour, readings, total) in _connection.Rows(
                $"select time_ms / {HourMs}, count(*), sum(sum) from readings where time_ms >= $a group by 1",
                row => (row.GetInt64(0), row.GetInt64(1), row.GetInt64(2)),
                (_last + 1) * HourMs))
            _open[hour] = (readings, total);
    }

    /// <summary>The last hour that is written down; -1: none is.</summary>
    public static long LastIn(SqliteConnection connection) => (long)connection.Value("select coalesce(max(hour), -1) from hours")!;

    /// <summary>The hour of a time, hours since 1970 UTC.</summary>
    public static long HourOf(long timeMs) => timeMs / HourMs;

    /// <summary>Counts all readings anew, in the transaction that runs.</summary>
    public static void Rebuild(SqliteConnection connection)
    {
        connection.Run("delete from hours");
        connection.Run(
            $"insert into hours(hour, readings, total) select time_ms / {HourMs}, count(*), "
                + $"sum(sum) from readings where time_ms < (select max(time_ms) / {HourMs} - 1 from readings) * {HourMs} group by 1");
    }

    private void Upsert(long hour, (long Readings, long Total) one) =>
        _connection.Run(
            "insert into hours(hour, readings, total) values($a, $b, $c) on conflict(hour) do update set readings = readings + "
                + "excluded.readings, total = total + excluded.total",
            hour,
            one.Readings,
            one.Total);

    private static void Put(Dictionary<long, (long Readings, long Total)> hours, long hour, long readings, long total)
    {
        var before = hours.GetValueOrDefault(hour);
        hours[hour] = (before.Readings + readings, before.Total + total);
    }
}
