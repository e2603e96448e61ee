using BackyardSentinel.Wording;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// The system of record: one SQLite file in WAL mode with full synchronisation, so that what is committed survives a
/// power cut. One writer; not thread-safe.
/// </summary>
public sealed class SentinelStore : IDisposable
{
    /// <summary>Readings set aside that are kept; the oldest go first.</summary>
    private const int MostAside = 100_000;

    /// <summary>Readings of the latest times among which the latest arrival is sought.</summary>
    private const int LatestLookedAt = 20_000;

    private readonly SqliteConnection _connection;
    private StoreWriter? _writer;
    private StartCheck? _check;
    private WriteStop? _stop;
    private readonly SqliteCommand _has;
    private readonly Dictionary<string, int> _series = new(StringComparer.Ordinal);

    private SentinelStore(SqliteConnection connection)
    {
        _connection = connection;
        _has = connection.Command("select 1 from readings where time_ms = $a and series = $b", 0L, 0L);
        foreach (var (id, name) in Rows("select id, name from series", row => (row.GetInt32(0), row.GetString(1)))) _series[name] = id;
    }

    /// <summary>Opens the store, making the file if there is none.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="StoreException">The file is damaged, of another version, or cannot be opened.</exception>
    public static SentinelStore Open(string path) => new(StoreSchema.Open(path));

    /// <summary>The same for a caller that holds the <see cref="StoreLock"/>.</summary>
    /// <param name="path">The file.</param>
    /// <param name="stop">Is held for as long as the store; <c>null</c>: no other file made room for this one.</param>
    /// <exception cref="StoreException">The file is damaged, of another version, or cannot be opened.</exception>
    internal static SentinelStore OpenAlone(string path, WriteStop? stop = null) =>
        new(StoreSchema.Open(path, isAlone: true)) { _stop = stop };

    /// <summary>
    /// The same for a caller that will read the season from a moment on, and writes nothing before it knows that the store
    /// <see cref="IsSound"/>.
    /// </summary>
    /// <param name="path">The file.</param>
    /// <param name="from">The moment; <c>null</c>: all readings.</param>
    /// <exception cref="StoreException">The file is damaged, of another version, or cannot be opened.</exception>
    internal static SentinelStore OpenToJudge(string path, DateTimeOffset? from)
    {
        var store = OpenAlone(path);
        try
        {
            store._check = new StartCheck(store._connection, from);
            return store;
        }
        catch
        {
            store.Dispose();
            throw;
        }
    }

    /// <summary>Opens a store that is there only to read it, while a service may write.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="StoreException">The file is damaged, of another version, or cannot be opened.</exception>
    public static SentinelStore Reading(string path) => new(StoreSchema.Read(path));

    /// <summary>Leaves a mark that a service has used this store, by which the journal knows that its entries will be read.</summary>
    public void MarkServed() => _connection.Run("insert or ignore into meta(key, value) values('served', 1)");

    /// <summary>Keeps the name under which the service is at its broker.</summary>
    /// <param name="client">The name.</param>
    /// <returns>The name before; <c>null</c>: there was none.</returns>
    public string? ServeAs(string client)
    {
        var former = _connection.Value("select value from meta where key = 'client-id'") as string;
        try
        {
            if (former != client)
                _connection.Run("insert or replace into meta(key, value) values('client-id', $a)", client);
        }
        catch (SqliteException failure) when (!StoreRefusal.IsSpoilt(failure))
        {
            // A full disk has no room for it; the next start writes it.
        }

        return former;
    }

    /// <summary>
    /// Forgets the running totals of series that are made in another way than before: the next does not go on from them. How they are
    /// made now is kept.
    /// </summary>
    /// <param name="madeBy">How they are made now, by series.</param>
    /// <returns>Those series.</returns>
    public IReadOnlySet<string> ForgetTotalsMadeOtherwise(IReadOnlyDictionary<string, string> madeBy)
    {
        ArgumentNullException.ThrowIfNull(madeBy);
        const string key = "totals-made-by/";
        var former = _connection.Rows(
            $"select key, value from meta where key glob '{key}*'", row => (row.GetString(0)[key.Length..], row.GetString(1)))
            .ToDictionary(row => row.Item1, row => row.Item2, StringComparer.Ordinal);
        var otherwise = madeBy.Where(one => former.TryGetValue(one.Key, out var before) && before != one.Value)
            .Select(one => one.Key).ToHashSet(StringComparer.Ordinal);
        try
        {
            using var transaction = _connection.BeginTransaction();
            foreach (var series in otherwise)
                _connection.Run("delete from totals where series in (select id from series where name = $a)", series);
            foreach (var (series, now) in madeBy)
            {
                if (former.GetValueOrDefault(series) != now)
                    _connection.Run("insert or replace into meta(key, value) values($a, $b)", key + series, now);
            }

            transaction.Commit();
        }
        catch (SqliteException failure) when (!StoreRefusal.IsSpoilt(failure))
        {
            // A full disk has no room for it; the next start finds the same.
        }

        return otherwise;
    }

    /// <summary>The number of a series; a new name is written down at once.</summary>
    /// <param name="name">The series' name.</param>
    public int SeriesId(string name)
    {
        if (!_series.ContainsKey(name))
            Know([name]);
        return _series[name];
    }

    /// <summary>Writes down those names of series that are new, all at once: thousands would wait for the disk as often.</summary>
    /// <param name="names">The series' names.</param>
    public void Know(IEnumerable<string> names)
    {
        List<string> fresh = [.. names.Where(name => !_series.ContainsKey(name)).Distinct()];
        if (fresh.Count == 0)
            return;
        if (!IsSound())
            throw new SqliteException("it is damaged, and nothing more may be written into it", SQLitePCL.raw.SQLITE_CORRUPT);
        using var transaction = _connection.BeginTransaction();
        List<long> ids = [.. fresh.Select(name => (long)_connection.Value("insert into series(name) values($a) returning id", name)!)];
        transaction.Commit();
        foreach (var (name, id) in fresh.Zip(ids))
            _series[name] = (int)id;
    }

    /// <summary>The names of all series ever stored, by number.</summary>
    public IReadOnlyDictionary<int, string> SeriesNames => _series.ToDictionary(pair => pair.Value, pair => pair.Key);

    /// <summary>The store has a reading of this series at this time.</summary>
    /// <param name="series">The series' number.</param>
    /// <param name="timeMs">The time, ms since 1970 UTC.</param>
    public bool Has(int series, long timeMs)
    {
        _has.Parameters[0].Value = timeMs;
        _has.Parameters[1].Value = series;
        return _has.ExecuteScalar() is not null;
    }

    /// <summary>Writes a batch in one transaction: all of it or nothing. When it returns, the disk has it.</summary>
    /// <param name="batch">The batch.</param>
    public CommitResult Commit(StoreBatch batch) => (_writer ??= new StoreWriter(_connection)).Commit(batch);

    /// <summary>
    /// Reads readings back in the order of their own times. Rows that are not as they were written are left out, and counted in
    /// <see cref="DamagedReadings"/>.
    /// </summary>
    /// <param name="from">Start of the season; readings of earlier times are left out. <c>null</c> reads all.</param>
    /// <param name="only">The numbers of the series that are asked for; of others readings may come as well. <c>null</c>: all are.</param>
    public IEnumerable<StoredReading> ReadSeason(DateTimeOffset? from = null, IReadOnlyCollection<int>? only = null) =>
        ReadSeason<StoredReading>(
            (in row, out same) =>
            {
                same = row;
                return true;
            },
            from,
            only);

    /// <summary>The same, made into what is asked for, on the thread that reads ahead of whoever goes through it.</summary>
    /// <param name="make">Makes of a row what is asked for; it may use nothing that changes meanwhile.</param>
    /// <param name="from">Start of the season; <c>null</c> reads all.</param>
    /// <param name="only">The numbers of the series that are asked for; of others readings may come as well. <c>null</c>: all are.</param>
    public IEnumerable<T> ReadSeason<T>(MakeOfRow<T> make, DateTimeOffset? from = null, IReadOnlyCollection<int>? only = null)
    {
        return new SeasonReadings<T>(Begin);

        ReadingsAhead<T> Begin()
        {
            DamagedReadings = 0;
            var check = _check?.ForReading(from);
            // Those of a site lie side by side. Where none is left out every row is read, also one whose number of a series is damaged.
            var (first, last) = check is not null || only is null || _series.Values.All(only.Contains) ? (long.MinValue, long.MaxValue)
                : only.Count == 0 ? (0, -1)
                : (only.Min(), only.Max());
            return new(
                _connection.DataSource, from?.ToUnixTimeMilliseconds() ?? StoredTime.FirstMs, first, last, make, check,
                damaged => DamagedReadings = damaged);
        }
    }

    /// <summary>Rows that <see cref="ReadSeason"/> has left out.</summary>
    public long DamagedReadings { get; private set; }

    /// <summary>What is wrong with the store as a command finds it that only reads, as clauses; none: nothing.</summary>
    public IReadOnlyList<string> Faults() => StoreCheck.Tables(_connection);

    /// <summary>What became of the damaged store that this one was saved from; <c>null</c>: there was none.</summary>
    public StoreDamage? Damage() => DamageIn(_connection);

    internal static StoreDamage? DamageIn(SqliteConnection connection) =>
        StoreDamage.Read(connection.Value("select value from meta where key = 'damage'") as string);

    /// <summary>When the store was last copied by <c>backup</c>, UTC; <c>null</c>: never, or nobody could note it.</summary>
    public DateTimeOffset? LastBackup() =>
        Rows(
                $"select value from meta where key = 'backup' and value between {StoredTime.FirstMs} and {StoredTime.LastMs}",
                row => (DateTimeOffset?)DateTimeOffset.FromUnixTimeMilliseconds(row.GetInt64(0)))
            .FirstOrDefault();

    /// <summary>The time of the first reading; <c>null</c>: there is none.</summary>
    public DateTimeOffset? FirstTime() =>
        Rows(
            $"select min(time_ms) from readings where time_ms between {StoredTime.FirstMs} and {StoredTime.LastMs}",
            row => row.IsDBNull(0) ? (DateTimeOffset?)null : DateTimeOffset.FromUnixTimeMilliseconds(row.GetInt64(0))
        )[0];

    /// <summary>The time of the last reading, ms since 1970 UTC, whether a clock can have shown it or not.</summary>
    public long LastTimeMs() => Rows("select coalesce(max(time_ms), 0) from readings", row => row.GetInt64(0))[0];

    /// <summary>
    /// Readings were stored through at least half of the hours from a moment on, up to a day: real time has gone on past it.
    /// </summary>
    /// <param name="from">The moment.</param>
    /// <param name="to">The latest moment stored.</param>
    public bool LivedOn(DateTimeOffset from, DateTimeOffset to)
    {
        var until = to < from.AddDays(1) ? to : from.AddDays(1);
        var hours = Rows(
            $"select count(distinct time_ms / 3600000) from readings where time_ms > {from.ToUnixTimeMilliseconds()} and time_ms <= "
                + $"{until.ToUnixTimeMilliseconds()}",
            row => row.GetInt64(0)
        )[0];
        return hours * 2 >= (until - from).TotalHours;
    }

    /// <summary>
    /// The clock was ahead and is right now. Readings with a false time of arrival but a time of their own that can be are
    /// taken to have come then; the others are set aside; what was reckoned from them is taken back.
    /// </summary>
    /// <param name="now">Now.</param>
    /// <param name="limit">A time up to here can be true.</param>
    /// <returns>How many readings were set aside, and how many have a new time of arrival.</returns>
    public (long Aside, long Restamped) SetAside(DateTimeOffset now, DateTimeOffset limit)
    {
        var (nowMs, limitMs) = (now.ToUnixTimeMilliseconds(), limit.ToUnixTimeMilliseconds());
        using var transaction = _connection.BeginTransaction();
        Run(
            $"insert into readings_aside(time_ms, series, value, received_us) select time_ms, series, {ReadingRow.ValueSql}, "
                + $"{ReadingRow.ReceivedUs} from readings where time_ms > {limitMs}");
        var aside = Run($"delete from readings where time_ms > {limitMs}");
        var restamped = Run(
            $"update readings set lag_us = min(0, {nowMs} - time_ms) * 1000, sum = {RowSum.Function}('readings', time_ms, series, value, "
                + $"min(0, {nowMs} - time_ms) * 1000) where {ReadingRow.ReceivedUs} > {limitMs * 1000} and sum is "
                + $"{RowSum.Function}('readings', time_ms, series, value, lag_us)");
        HourSums.Rebuild(_connection);
        Run($"delete from events where at > {limitMs}");
        Run($"delete from outages where from_ms > {limitMs}");
        Run($"delete from meta where key = 'listened' and value > {limitMs}");
        Run(
            $"update totals set time_ms = {nowMs}, sum = case when sum is {RowSum.Function}('totals', series, total, time_ms) "
                + $"then {RowSum.Function}('totals', series, total, {nowMs}) else sum end where time_ms > {limitMs}");
        Run($"update quarantine set first_us = min(first_us, {nowMs * 1000}), last_us = {nowMs * 1000} where last_us > {limitMs * 1000}");
        Run(
            $"update outbox set state = 'expired-reported', created_ms = {nowMs}, next_ms = null, "
                + $"last_answer = 'it was made while the clock was ahead' where created_ms > {limitMs} and state = 'waiting'");
        // What went out then would count as newer than all that comes for years.
        Run(
            $"update outbox set created_ms = min(created_ms, {nowMs}), next_ms = min(next_ms, {nowMs}) "
                + $"where created_ms > {limitMs} or next_ms > {limitMs}");
        Run($"delete from answers where received_us > {limitMs * 1000}");
        transaction.Commit();
        _writer?.Reload();
        return (aside, restamped);

        long Run(string sql) => _connection.Run(sql);
    }

    /// <summary>
    /// Lets the store grow old by a piece: readings of times before a moment become hourly values; once that is done, what else
    /// has had its time is removed: messages that have ended, answers, refusals, gaps and events.
    /// </summary>
    /// <param name="before">The moment; rounded down to the start of a UTC day.</param>
    /// <param name="leastHours">
    /// So many hours with readings stay as they are whatever the moment: by a clock that is years ahead nothing grows old.
    /// </param>
    /// <param name="taken">What a value of a series counts as; <c>null</c>: it cannot be, and is left out.</param>
    /// <returns>There is more to do.</returns>
    public bool GrowOld(DateTimeOffset before, long leastHours, Func<int, double, double?> taken)
    {
        var beforeMs = new DateTimeOffset(before.UtcDateTime.Date, TimeSpan.Zero).ToUnixTimeMilliseconds();
        if (Rows($"select count(*) from hours where hour >= {HourSums.HourOf(beforeMs)}", row => row.GetInt64(0))[0] < leastHours)
            return false;
        if (HourlyValues.Take(_connection, beforeMs, taken) > 0)
            return true;
        using var transaction = _connection.BeginTransaction();
        _connection.Run(OutboxSql.Forget, beforeMs);
        _connection.Run("delete from answers where received_us < $a * 1000", beforeMs);
        _connection.Run("delete from quarantine where last_us < $a * 1000", beforeMs);
        _connection.Run("delete from outages where from_ms < $a", beforeMs);
        _connection.Run("delete from events where at < $a", beforeMs);
        _connection.Run($"delete from readings_aside where rowid <= (select max(rowid) from readings_aside) - {MostAside}");
        transaction.Commit();
        return false;
    }

    /// <summary>
    /// The hourly values of a time, by hour and series, oldest first; those that are not as they were written are left out.
    /// </summary>
    /// <param name="from">The first hour begins at or after this; <c>null</c>: all.</param>
    /// <param name="to">The last hour begins before this; <c>null</c>: all.</param>
    public IEnumerable<StoredHour> ReadHours(DateTimeOffset? from = null, DateTimeOffset? to = null) =>
        HourlyValues.Read(
            _connection,
            from is { } first ? HourSums.HourOf(first.ToUnixTimeMilliseconds() + 3_599_999) : 0,
            to is { } last ? HourSums.HourOf(last.ToUnixTimeMilliseconds() + 3_599_999) : long.MaxValue);

    /// <summary>Of the time before this moment only hourly values are kept, UTC; <c>null</c>: readings are kept of all of it.</summary>
    public DateTimeOffset? HourlyUntil() =>
        HourlyValues.Until(_connection) is { } hour ? DateTimeOffset.FromUnixTimeMilliseconds(hour * 3_600_000) : null;

    /// <summary>When the outages began that are known, oldest first.</summary>
    public List<DateTimeOffset> Outages() =>
        Rows(
            $"select from_ms from outages where from_ms between {StoredTime.FirstMs} and {StoredTime.LastMs} order by from_ms",
            row => DateTimeOffset.FromUnixTimeMilliseconds(row.GetInt64(0)));

    /// <summary>Until when the program is known to have listened; <c>null</c>: it never was noted.</summary>
    public DateTimeOffset? Listened() =>
        Rows(
                $"select value from meta where key = 'listened' and value between {StoredTime.FirstMs} and {StoredTime.LastMs}",
                row => (DateTimeOffset?)DateTimeOffset.FromUnixTimeMilliseconds(row.GetInt64(0)))
            .FirstOrDefault();

    /// <summary>Writes down that the program has listened until then.</summary>
    /// <param name="until">When.</param>
    public void NoteListened(DateTimeOffset until) =>
        _connection.Run("insert or replace into meta(key, value) values('listened', $a)", until.ToUnixTimeMilliseconds());

    /// <summary>The ids of all alerts known, and of what those tell that tell several things at once.</summary>
    public HashSet<string> AlertIds() =>
        [
            .. Rows("select distinct id from outbox", row => row.GetString(0)),
            .. Rows(
                    "select distinct json_extract(message, '$.facts.tells') from outbox where json_valid(message) and "
                        + "json_type(message, '$.facts.tells') = 'text'",
                    row => row.GetString(0))
                .SelectMany(tells => tells.Split('\n')),
        ];

    /// <summary>The last forecast that was kept, in the program's own form; <c>null</c>: none.</summary>
    public byte[]? LastForecast() =>
        Rows("select value from meta where key = 'forecast'", row => row.GetFieldValue<byte[]>(0)).FirstOrDefault();

    /// <summary>Keeps a forecast in place of the one before.</summary>
    /// <param name="json">The forecast in the program's own form.</param>
    public void KeepForecast(byte[] json) => _connection.Run("insert or replace into meta(key, value) values('forecast', $a)", json);

    /// <summary>The running totals as they stood at the last commit.</summary>
    public List<StoredTotal> Totals() =>
        Rows(
            "select series, total, time_ms from totals order by series",
            row => new StoredTotal(row.GetInt32(0), row.GetDouble(1), Math.Clamp(row.GetInt64(2), StoredTime.FirstMs, StoredTime.LastMs)));

    /// <summary>The messages that the broker delivered last, in the order of arrival.</summary>
    public List<StoredDelivery> Deliveries() =>
        Rows(
            "select number, packet, digest, waited from deliveries order by number",
            row => new StoredDelivery(row.GetInt64(0), row.GetInt32(1), row.GetInt64(2), row.GetInt64(3) != 0));

    /// <summary>All events, oldest first.</summary>
    public List<StoredEvent> Events() =>
        Rows(
            "select key, at from events order by at, key",
            row => new StoredEvent(row.GetString(0), row.GetInt64(1)));

    /// <summary>The messages kept aside, oldest first.</summary>
    public List<QuarantinedMessage> Quarantine() => Rows(
        "select topic, reason, last_us, payload, count, first_us, value from quarantine order by last_us",
        row => new QuarantinedMessage(
            row.GetString(0), KeptSentence.Read(row.GetString(1)), row.GetInt64(2), row.GetFieldValue<byte[]>(3), row.GetInt64(4))
        {
            FirstUs = row.GetInt64(5),
            Value = row.IsDBNull(6) ? null : row.GetDouble(6),
        });

    /// <summary>
    /// The latest stamp of arrival in the store, µs since 1970 UTC; 0 when it is empty. It is sought among the readings of the latest
    /// times: what comes last is hardly older than so many others.
    /// </summary>
    public long LastReceivedUs() =>
        Rows(
            $"select max(coalesce((select max(at) from (select {ReadingRow.ReceivedUs} as at from readings order by time_ms desc "
                + $"limit {LatestLookedAt}) where at <= {StoredTime.LastMs * 1000}), 0), coalesce((select max(last_us) from quarantine "
                + $"where last_us <= {StoredTime.LastMs * 1000}), 0))",
            row => row.GetInt64(0)
        )[0];

    /// <summary>
    /// Nothing is wrong with a store that the service opened: its pages were looked over meanwhile, and its readings as the season was
    /// read. Waits until they have been.
    /// </summary>
    /// <exception cref="SqliteException">The disk does not give it.</exception>
    internal bool IsSound() => _check?.IsSound() ?? true;

    /// <inheritdoc/>
    public void Dispose()
    {
        _check?.Dispose();
        _writer?.Dispose();
        _has.Dispose();
        _connection.Dispose();
        _stop?.Dispose();
    }

    private List<T> Rows<T>(string sql, Func<SqliteDataReader, T> read) => _connection.Rows(sql, read);
}
