using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Takes out of one table of a damaged store the rows that can be read and are as they were written. Where a page cannot be
/// read it is leapt over: the rows before it, after it and between two such pages are all found by their numbers.
/// </summary>
internal sealed class TableSalvage : IDisposable
{
    /// <summary>Smaller gaps between two readings are not searched, ms.</summary>
    private const long LeastGapMs = 60_000;

    /// <summary>Gaps searched in a table; a page that leads to all others makes the whole one gap.</summary>
    private const int MostGaps = 2_000;

    private readonly StoreTable _table;
    private readonly SqliteConnection _from;
    private readonly SqliteCommand _insert;
    private readonly string _select, _number;
    private readonly int _columns;
    private readonly bool _areReadings, _hasSums;
    private long _saved, _wrong;

    /// <param name="table">The table.</param>
    /// <param name="from">The damaged file, open to read.</param>
    /// <param name="into">The new file with its tables, in a transaction.</param>
    /// <param name="hasSums">The damaged file's rows have sums.</param>
    /// <param name="isOld">Its readings are those of a version before 7.</param>
    public TableSalvage(StoreTable table, SqliteConnection from, SqliteConnection into, bool hasSums, bool isOld)
    {
        (_table, _from, _hasSums, _areReadings) = (table, from, hasSums, table.Name == "readings");
        List<string> names = [.. table.Names];
        if (table.Key[0] == "rowid")
            names.Insert(0, "rowid");
        _columns = names.Count;
        _number = table.Number ?? table.Key[0];
        var columns = string.Join(", ", names);
        var isWrong = !hasSums ? "0"
            : _areReadings ? $"(sum is not {(isOld ? ReadingRow.OldSum : table.SumOf())} or {ReadingRow.IsNoNumber})"
            : $"(sum is not {table.SumOf()})";
        _select = $"select {isWrong}, {_number}, {(_areReadings && isOld ? ReadingRow.FromOld : columns)} from {table.Name}";

        var places = names.Select((name, i) => (name, Place: "$" + (char)('a' + i))).ToDictionary(one => one.name, one => one.Place);
        var values = string.Join(", ", names.Select(name => places[name]));
        if (table.Sums == StoreSums.ByWriter)
        {
            columns += ", sum";
            values += $", {RowSum.Function}('{table.Name}', {string.Join(", ", table.Names.Select(name => places[name]))})";
        }

        // The number of the version is the new file's own.
        _insert = into.Command(
            $"insert or ignore into {table.Name}({columns}) select {values}{(table.Name == "meta" ? " where $a <> 'schema'" : "")}",
            new object?[_columns]);
    }

    /// <summary>Saves what can be saved.</summary>
    /// <returns>How many rows were, and how many were read that are not as they were written.</returns>
    public (long Saved, long Wrong) Save()
    {
        if (_table.Number is not null)
            SearchGaps();
        else if (Scan("", "") is not null)
            Scan("", " desc");
        return (_saved, _wrong);
    }

    /// <inheritdoc/>
    public void Dispose() => _insert.Dispose();

    /// <summary>Reads from both ends of a gap up to what cannot be read, then each half of what is left; the widest gaps first.</summary>
    private void SearchGaps()
    {
        var gaps = new Queue<(long Low, long High)>([Range()]);
        for (var tried = 0; tried < MostGaps && gaps.TryDequeue(out var gap); tried++)
        {
            var (low, high) = gap;
            if (Scan($"where {_number} between {low} and {high}", "") is not { } upTo)
                continue;
            if (Scan($"where {_number} between {low} and {high}", " desc") is not { } downTo)
                continue;
            (low, high) = (Math.Max(upTo, low) + 1, (downTo == long.MinValue ? high : downTo) - 1);
            if (high - low <= (_areReadings ? LeastGapMs : 1))
                continue;
            var middle = low + ((high - low) / 2);
            gaps.Enqueue((low, middle));
            gaps.Enqueue((middle + 1, high));
        }
    }

    /// <summary>The numbers that the table may hold.</summary>
    private (long Low, long High) Range()
    {
        (long Low, long High) all = (StoredTime.FirstMs, StoredTime.LastMs * 1000);
        if (!_areReadings || !_hasSums)
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

    /// <summary>Reads rows in order of their numbers and takes them.</summary>
    /// <returns>
    /// The last number before the reading broke off; <see cref="long.MinValue"/>: it did at once; <c>null</c>: it went through.
    /// </returns>
    private long? Scan(string where, string order)
    {
        var last = long.MinValue;
        try
        {
            using var command = _from.Command($"{_select} {where} order by {_number}{order}");
            using var row = command.ExecuteReader();
            while (row.Read())
            {
                if (_table.Number is not null && row.GetValue(1) is long number)
                    last = number;
                Take(row);
            }

            return null;
        }
        catch (Exception failure) when (StoreCheck.Tells(failure))
        {
            return last;
        }
    }

    private void Take(SqliteDataReader row)
    {
        if (row.GetInt64(0) != 0 || !IsPossible(row))
        {
            _wrong++;
            return;
        }

        for (var i = 0; i < _columns; i++)
            _insert.Parameters[i].Value = row.GetValue(i + 2);
        try
        {
            _saved += _insert.ExecuteNonQuery() > 0 ? 1 : 0;
        }
        catch (SqliteException failure) when (failure.SqliteErrorCode == 19)
        {
            _wrong++; // A row that no store of ours can hold.
        }
    }

    /// <summary>Without sums, as in stores of earlier versions, the times at least must be some.</summary>
    private bool IsPossible(SqliteDataReader row) =>
        !_areReadings
        || (row.GetInt64(2) is >= StoredTime.FirstMs and <= StoredTime.LastMs and var timeMs
            && StoredTime.IsMicroseconds((timeMs * 1000) + row.GetInt64(5)));
}
