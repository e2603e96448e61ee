using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Takes out of a damaged store what can be read and is as it was written, row by row, into a new one. Where a page cannot be
/// read it is leapt over: the rows before it, after it and between two such pages are all found by their numbers.
/// </summary>
internal sealed class StoreSalvage
{
    /// <summary>Smaller gaps between two readings are not searched, ms.</summary>
    private const long LeastGapMs = 60_000;

    /// <summary>Gaps searched in a table; a page that leads to all others makes the whole one gap.</summary>
    private const int MostGaps = 2_000;

    private readonly SqliteConnection _from, _into;
    private readonly Dictionary<string, (long Saved, long Wrong)> _counts = [];
    private readonly bool _hasSums, _isOld;

    private StoreSalvage(SqliteConnection from, SqliteConnection into)
    {
        (_from, _into) = (from, into);
        _hasSums = Has("sum");
        _isOld = Has("received_us");

        bool Has(string column) => Try(() => from.Value("select 1 from pragma_table_info('readings') where name = $a", column) is not null);
    }

    /// <summary>Saves what can be saved.</summary>
    /// <param name="from">The damaged file, open to read; <c>null</c>: it cannot be opened at all.</param>
    /// <param name="into">A new file with its tables, empty.</param>
    /// <returns>What was saved and what was lost, as far as that is known.</returns>
    public static SalvageCount Save(SqliteConnection? from, SqliteConnection into)
    {
        using var transaction = into.BeginTransaction();
        var count = new SalvageCount(0, null, null, null, []);
        if (from is not null)
        {
            var salvage = new StoreSalvage(from, into);
            foreach (var table in StoreTables.All)
                salvage.Save(table);
            count = salvage.Count();
        }

        HourSums.Rebuild(into);
        transaction.Commit();
        return count;
    }

    private void Save(StoreTable table)
    {
        var names = table.Names.Select(name => name).ToList();
        if (table.Key[0] == "rowid")
            names.Insert(0, "rowid");
        var columns = string.Join(", ", names);
        var isOldReadings = _isOld && table.Name == "readings";
        var wrong = !_hasSums ? "0" : $"(sum is not {(isOldReadings ? ReadingRow.OldSum : table.SumOf())}"
            + $"{(table.Name == "readings" ? $" or {ReadingRow.IsNoNumber}" : "")})";
        var from = isOldReadings ? ReadingRow.FromOld : columns;
        var withSum = table.Sums == StoreSums.ByWriter;
        var places = string.Join(", ", names.Select((_, i) => "$" + (char)('a' + i)));
        // The number of the version is the new file's own.
        using var insert = _into.Command(
            $"insert or ignore into {table.Name}({columns}{(withSum ? ", sum" : "")}) select "
                + $"{places}{(withSum ? ", " + Sum() : "")}{(table.Name == "meta" ? " where $a <> 'schema'" : "")}",
            new object?[names.Count]);
        var number = table.Number ?? table.Key[0];

        if (table.Number is null)
        {
            if (Scan("", "") is not null)
                Scan("", " desc");
        }
        else
        {
            Search();
        }

        string Sum()
        {
            var given = names.Select((name, i) => (name, Place: "$" + (char)('a' + i))).ToDictionary(one => one.name, one => one.Place);
            return $"{RowSum.Function}('{table.Name}', {string.Join(", ", table.Names.Select(name => given[name]))})";
        }

        // Reads from both ends of a gap up to what cannot be read, and then each half of what is left; the widest gaps first.
        void Search()
        {
            var gaps = new Queue<(long Low, long High)>([Range(table)]);
            for (var tried = 0; tried < MostGaps && gaps.TryDequeue(out var gap); tried++)
            {
                var (low, high) = gap;
                if (Scan($"where {number} between {low} and {high}", "") is not { } upTo)
                    continue;
                if (Scan($"where {number} between {low} and {high}", " desc") is not { } downTo)
                    continue;
                (low, high) = (Math.Max(upTo, low) + 1, (downTo == long.MinValue ? high : downTo) - 1);
                if (high - low <= (table.Name == "readings" ? LeastGapMs : 1))
                    continue;
                var middle = low + ((high - low) / 2);
                gaps.Enqueue((low, middle));
                gaps.Enqueue((middle + 1, high));
            }
        }

        // Gives the last number before the reading broke off; MinValue: it did at once; null: it went through.
        long? Scan(string where, string order)
        {
            var last = long.MinValue;
            try
            {
                using var command = _from.Command($"select {wrong}, {number}, {from} from {table.Name} {where} order by {number}{order}");
                using var row = command.ExecuteReader();
                while (row.Read())
                {
                    if (table.Number is not null && row.GetValue(1) is long now)
                        last = now;
                    Take(row);
                }

                return null;
            }
            catch (Exception failure) when (StoreCheck.Tells(failure))
            {
                return last;
            }
        }

        void Take(SqliteDataReader row)
        {
            var (saved, bad) = _counts.GetValueOrDefault(table.Name);
            if (row.GetInt64(0) != 0 || !IsPossible(table, row))
            {
                _counts[table.Name] = (saved, bad + 1);
                return;
            }

            for (var i = 0; i < names.Count; i++)
                insert.Parameters[i].Value = row.GetValue(i + 2);
            try
            {
                saved += insert.ExecuteNonQuery() > 0 ? 1 : 0;
            }
            catch (SqliteException failure) when (failure.SqliteErrorCode == 19)
            {
                bad++; // A row that no store of ours can hold.
            }

            _counts[table.Name] = (saved, bad);
        }
    }

    /// <summary>The numbers that a table may hold.</summary>
    private (long Low, long High) Range(StoreTable table)
    {
        (long Low, long High) all = (StoredTime.FirstMs, StoredTime.LastMs * 1000);
        if (table.Name != "readings" || !_hasSums)
            return all;
        try
        {
            return _from.Rows(
                "select min(hour) * 3600000, (max(hour) + 24) * 3600000 from hours",
                row => row.IsDBNull(0) ? all : (row.GetInt64(0), row.GetInt64(1)))[0];
        }
        catch (Exception failure) when (StoreCheck.Tells(failure))
        {
            return all;
        }
    }

    /// <summary>Without sums, as in stores of earlier versions, the times at least must be some.</summary>
    private static bool IsPossible(StoreTable table, SqliteDataReader row) =>
        table.Name != "readings"
        || (row.GetInt64(2) is >= StoredTime.FirstMs and <= StoredTime.LastMs and var timeMs
            && StoredTime.IsMicroseconds((timeMs * 1000) + row.GetInt64(5)));

    private SalvageCount Count()
    {
        // Whose series is not known is not known.
        var orphans = _into.Run("delete from readings where series not in (select id from series)");
        _into.Run("delete from hourly where series not in (select id from series)");
        _into.Run("delete from totals where series not in (select id from series)");
        var (saved, wrong) = _counts.GetValueOrDefault("readings");
        var (missing, from, to) = MissingReadings();
        long? lost = Math.Max(missing, Math.Max(wrong, orphans));
        if (!_hasSums || !Try(() => _from.Value("select count(*) from hours") is not null))
            lost = null;
        List<(string Table, long Count)> others = [];
        foreach (var table in StoreTables.All.Where(one => one.Sums != StoreSums.ByWriter && one.Name != "hours"))
        {
            var (kept, bad) = _counts.GetValueOrDefault(table.Name);
            var counted = Try(() => _from.Value("select rows from sums where part = $a", table.Name) is long)
                ? (long)_from.Value("select rows from sums where part = $a", table.Name)!
                : 0;
            if (Math.Max(bad, counted - kept) is > 0 and var gone)
                others.Add((table.Name, gone));
        }

        return new SalvageCount(saved - orphans, lost, from, to, others);
    }

    private (long Count, DateTimeOffset? From, DateTimeOffset? To) MissingReadings()
    {
        if (!_hasSums)
            return (0, null, null);
        var found = _into
            .Rows("select time_ms / 3600000, count(*) from readings group by 1", row => (row.GetInt64(0), row.GetInt64(1)))
            .ToDictionary(one => one.Item1, one => one.Item2);
        long count = 0;
        long? first = null, last = null;
        var hours = _into.Rows("select hour, readings from hours order by hour", row => (row.GetInt64(0), row.GetInt64(1)));
        foreach (var (hour, readings) in hours)
        {
            if (readings - found.GetValueOrDefault(hour) is not (> 0 and var gone))
                continue;
            count += gone;
            (first, last) = (first ?? hour, hour);
        }

        return (count, first is { } one ? At(one) : null, last is { } other ? At(other + 1) : null);

        static DateTimeOffset At(long hour) =>
            DateTimeOffset.FromUnixTimeMilliseconds(Math.Clamp(hour * 3_600_000, StoredTime.FirstMs, StoredTime.LastMs));
    }

    private static bool Try(Func<bool> ask)
    {
        try
        {
            return ask();
        }
        catch (Exception failure) when (StoreCheck.Tells(failure))
        {
            return false;
        }
    }
}

/// <summary>What was saved of a damaged store.</summary>
/// <param name="Readings">Readings saved.</param>
/// <param name="Lost">Readings lost; <c>null</c>: not known.</param>
/// <param name="From">Start of the time in which readings are lost, UTC; <c>null</c>: none, or not known.</param>
/// <param name="To">Its end, UTC.</param>
/// <param name="Others">Rows lost of other tables, by the table's name.</param>
internal sealed record SalvageCount(
    long Readings,
    long? Lost,
    DateTimeOffset? From,
    DateTimeOffset? To,
    IReadOnlyList<(string Table, long Count)> Others);
