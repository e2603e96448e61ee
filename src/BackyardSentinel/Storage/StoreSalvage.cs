using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Takes out of a damaged store what can be read and is as it was written, table by table, into a new one, and counts what is lost.
/// </summary>
internal sealed class StoreSalvage
{
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
            {
                using var rows = new TableSalvage(table, from, into, salvage._hasSums, salvage._isOld);
                salvage._counts[table.Name] = rows.Save();
            }

            count = salvage.Count();
        }

        HourSums.Rebuild(into);
        transaction.Commit();
        return count;
    }

    private SalvageCount Count()
    {
        // Rows of a series that is not known are of no use.
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
            DateTimeOffset.FromUnixTimeMilliseconds(Math.Clamp(hour * HourSums.HourMs, StoredTime.FirstMs, StoredTime.LastMs));
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
