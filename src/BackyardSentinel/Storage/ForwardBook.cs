using System.Globalization;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>How far the store has been handed on to another server.</summary>
/// <param name="Target">Which server; to another one nothing has been handed on yet.</param>
/// <param name="ReceivedUs">Readings that came up to then are safe there, µs since 1970 UTC; 0: none.</param>
/// <param name="Journal">The journal's last line by which what is there was judged.</param>
public sealed record ForwardMark(string Target, long ReceivedUs, long Journal);

/// <summary>
/// What a forwarder reads of the store and keeps in it, on a connection of its own. Nothing stays open between two calls.
/// </summary>
public sealed class ForwardBook : IDisposable
{
    private const string Key = "forwarded", BeganKey = "forwarding-since";
    private const int PageRows = 10_000;
    private readonly SqliteConnection _connection;

    private ForwardBook(SqliteConnection connection) => _connection = connection;

    /// <summary>Opens the book of a store that <see cref="SentinelStore.Open"/> has opened or made.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">There is no such store.</exception>
    public static ForwardBook Open(string path) => new(StoreSchema.Beside(path));

    /// <summary>How far it got; <c>null</c>: nothing has been handed on, or what is written cannot be read.</summary>
    public ForwardMark? Read() =>
        (_connection.Value("select value from meta where key = $a", Key) as string)?.Split(' ', 3) is [var us, var journal, var target]
        && long.TryParse(us, NumberStyles.None, CultureInfo.InvariantCulture, out var receivedUs)
        && long.TryParse(journal, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            ? new ForwardMark(target, receivedUs, number)
            : null;

    /// <summary>Keeps how far it got.</summary>
    /// <param name="mark">How far.</param>
    public void Keep(ForwardMark mark)
    {
        ArgumentNullException.ThrowIfNull(mark);
        _connection.Run(
            "insert or replace into meta(key, value) values($a, $b)",
            Key,
            string.Create(CultureInfo.InvariantCulture, $"{mark.ReceivedUs} {mark.Journal} {mark.Target}"));
    }

    /// <summary>Since when readings are handed on to a server, whether or not it ever took one; to one that is new, since now.</summary>
    /// <param name="target">Which server.</param>
    /// <param name="now">Now.</param>
    public DateTimeOffset Began(string target, DateTimeOffset now)
    {
        if ((_connection.Value("select value from meta where key = $a", BeganKey) as string)?.Split(' ', 2) is [var ms, var known]
            && known == target
            && long.TryParse(ms, NumberStyles.None, CultureInfo.InvariantCulture, out var beganMs)
            && beganMs <= now.ToUnixTimeMilliseconds())
            return DateTimeOffset.FromUnixTimeMilliseconds(beganMs);
        _connection.Run(
            "insert or replace into meta(key, value) values($a, $b)",
            BeganKey,
            string.Create(CultureInfo.InvariantCulture, $"{now.ToUnixTimeMilliseconds()} {target}"));
        return now;
    }

    /// <summary>Keeps something aside that the other server refuses, where <c>refused</c> shows it.</summary>
    /// <param name="message">What it is, and why.</param>
    public void SetAside(QuarantinedMessage message)
    {
        ArgumentNullException.ThrowIfNull(message);
        using var writer = new StoreWriter(_connection);
        var batch = new StoreBatch();
        batch.Quarantine.Add(message);
        writer.Commit(batch);
    }

    /// <summary>The latest arrival among the readings of a time and later, µs since 1970 UTC; 0: there is none.</summary>
    /// <param name="fromMs">The time, ms since 1970 UTC.</param>
    public long NewestUs(long fromMs) =>
        (long)_connection.Value(
            $"select coalesce(max({ReadingRow.ReceivedUs}), 0) from readings where time_ms >= $a and "
                + $"{ReadingRow.ReceivedUs} <= {StoredTime.LastMs * 1000}",
            fromMs)!;

    /// <summary>How many readings came after a moment.</summary>
    /// <param name="fromMs">Among those of this time and later, ms since 1970 UTC.</param>
    /// <param name="afterUs">The moment, µs since 1970 UTC.</param>
    public long CountAfter(long fromMs, long afterUs) =>
        (long)_connection.Value($"select count(*) from readings where time_ms >= $a and {ReadingRow.ReceivedUs} > $b", fromMs, afterUs)!;

    /// <summary>The number of the journal's last line; 0 when there is none.</summary>
    public long JournalNumber() => (long)_connection.Value("select coalesce(max(number), 0) from journal")!;

    /// <summary>The names of all series, by number.</summary>
    public IReadOnlyDictionary<int, string> SeriesNames() =>
        _connection.Rows(
            "select id, name from series", row => (row.GetInt32(0), row.GetString(1))).ToDictionary(one => one.Item1, one => one.Item2);

    /// <summary>When the outages began that are known, oldest first.</summary>
    public List<DateTimeOffset> Outages() =>
        _connection.Rows(
            $"select from_ms from outages where from_ms between {StoredTime.FirstMs} and {StoredTime.LastMs} order by from_ms",
            row => DateTimeOffset.FromUnixTimeMilliseconds(row.GetInt64(0)));

    /// <summary>Readings in the order of their own times, a page at a time. Rows that are not as they were written are left out.</summary>
    /// <param name="fromMs">From this time on, ms since 1970 UTC.</param>
    /// <param name="toMs">Up to this time.</param>
    /// <param name="afterUs">That came after this, µs since 1970 UTC.</param>
    /// <param name="untilUs">And not later than this.</param>
    public IEnumerable<StoredReading> Readings(long fromMs, long toMs, long afterUs, long untilUs)
    {
        var (timeMs, series) = (fromMs, long.MinValue);
        List<(StoredReading Row, long Sum)> page;
        do
        {
            page = _connection.Rows(
                $"select {ReadingRow.Columns} from readings where (time_ms, series) > ($a, "
                    + $"$b) and time_ms <= $c and {ReadingRow.ReceivedUs} > $d and {ReadingRow.ReceivedUs} <= $e order by "
                    + $"time_ms, series limit {PageRows}",
                row => (ReadingRow.Of(row, out var sum), sum),
                timeMs,
                series,
                Math.Min(toMs, StoredTime.LastMs),
                afterUs,
                Math.Min(untilUs, StoredTime.LastMs * 1000));
            foreach (var (row, sum) in page)
            {
                (timeMs, series) = (row.TimeMs, row.Series);
                if (sum == RowSum.Of(row))
                    yield return row;
            }
        }
        while (page.Count == PageRows);
    }

    /// <inheritdoc/>
    public void Dispose() => _connection.Dispose();
}
