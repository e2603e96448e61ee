using System.Globalization;
using System.Runtime.ExceptionServices;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Looks a store over. Its pages and tables must fit together, and each row and hour must come to what was written down for
/// it: SQLite's own check sees a page that is none, but no changed bit within a value.
/// </summary>
internal static class StoreCheck
{
    /// <summary>All that there is to look at: the pages, every table, the readings of the years that are asked for.</summary>
    /// <param name="connection">The file.</param>
    /// <param name="from">Readings before this moment are not looked at; <c>null</c>: all are.</param>
    /// <returns>A clause for each fault; none: it is sound.</returns>
    public static IReadOnlyList<string> Whole(SqliteConnection connection, DateTimeOffset? from = null)
    {
        List<ReadingsCheck> readings = [];
        string[] pages = [], tables = [], unreadable = [];
        Reading(() => readings = ReadingsCheck.Parts(connection, FirstHour(from)))();
        ShareAmongCores(
            [
                () => pages = Pages(connection.DataSource),
                .. readings.Select(part => Reading(() => part.Look(connection.DataSource))),
                Reading(() => tables = [.. Tables(connection), .. from is null ? Hourly(connection) : []]),
            ]);
        if (pages.Length > 0)
            return pages; // Then rows tell no more.
        if (unreadable.Length > 0)
            return unreadable;
        return [.. tables, .. Faults(readings)];

        Action Reading(Action read) => () =>
        {
            try
            {
                read();
            }
            catch (Exception failure) when (Tells(failure))
            {
                unreadable = [Unreadable(failure)];
            }
        };
    }

    /// <summary>
    /// The tables but those of readings and hourly values, which are looked at as they are read: enough for a command that only reads.
    /// </summary>
    /// <param name="connection">The file.</param>
    public static IReadOnlyList<string> Tables(SqliteConnection connection)
    {
        try
        {
            var found = connection
                .Rows("select name, sql from sqlite_master where sql is not null", row => (row.GetString(0), row.GetString(1)))
                .ToHashSet();
            if (StoreTables.Statements.FirstOrDefault(one => !found.Contains(one)) is { Name: { } missing })
                return [$"its table or trigger {missing} is not as it was made"];
            return
            [
                .. StoreTables.All
                    .Where(table => table.Name is not ("readings" or "hourly"))
                    .SelectMany(table => Table(connection, table)),
            ];
        }
        catch (Exception failure) when (Tells(failure))
        {
            return [Unreadable(failure)];
        }
    }

    /// <summary>What is wrong with the pages of a file, by a connection of its own, as clauses; none: nothing.</summary>
    /// <param name="path">The file.</param>
    public static string[] Pages(string path)
    {
        using var connection = StoreReading.Connect(path);
        try
        {
            return connection.Value("pragma quick_check(1)") is "ok" ? [] : ["its pages do not fit together"];
        }
        catch (Exception failure) when (Tells(failure))
        {
            return [Unreadable(failure)];
        }
    }

    /// <summary>What is wrong with readings that have been looked at, as clauses; none: nothing.</summary>
    /// <param name="readings">All parts of them.</param>
    public static IReadOnlyList<string> Faults(IReadOnlyList<ReadingsCheck> readings)
    {
        var (wrong, missing) = (readings.Sum(part => part.Wrong), readings.Sum(part => part.Missing));
        var odd = readings.Sum(part => part.OddHours);
        List<string> faults = [];
        if (wrong > 0)
            faults.Add(Counted(wrong, "reading differs", "readings differ") + " from what was written");
        if (missing > 0)
            faults.Add(Counted(missing, "reading is missing", "readings are missing"));
        if (odd > 0 && wrong == 0)
            faults.Add(Counted(odd, "hour of readings does", "hours of readings do") + " not come to what was written down");
        return faults;
    }

    /// <summary>The first hour whose readings are looked at, hours since 1970 UTC: the first that lies whole behind a moment.</summary>
    public static long FirstHour(DateTimeOffset? from) =>
        from is { } moment ? HourSums.HourOf(moment.ToUnixTimeMilliseconds() + 3_599_999) : 0;

    /// <summary>Reading on is of no use; the words are those of the database.</summary>
    public static bool Tells(Exception failure) =>
        StoreRefusal.IsDamage(failure) || failure is InvalidCastException or FormatException or OverflowException;

    /// <summary>Each goes through a good deal of the file. What one of them throws is thrown as it is.</summary>
    private static void ShareAmongCores(Action[] looks)
    {
        try
        {
            Parallel.Invoke(looks);
        }
        catch (AggregateException failures)
        {
            ExceptionDispatchInfo.Throw(failures.InnerExceptions[0]);
        }
    }

    /// <summary>Hourly values are many and judged by nobody at a start.</summary>
    private static IEnumerable<string> Hourly(SqliteConnection connection) =>
        StoreTables.All.Where(table => table.Name == "hourly").SelectMany(table => Table(connection, table));

    private static string Unreadable(Exception failure) => $"it cannot be read through ({failure.Message.TrimEnd('.')})";

    private static IEnumerable<string> Table(SqliteConnection connection, StoreTable table)
    {
        var (rows, sum, wrong) = connection.Rows(
            $"select count(*), coalesce(sum(sum), 0), coalesce(sum(sum is not {table.SumOf()}), 0) from {table.Name}",
            row => (row.GetInt64(0), row.GetInt64(1), row.GetInt64(2)))[0];
        if (wrong > 0)
            yield return Counted(wrong, "row of {0} differs", "rows of {0} differ", table.Name) + " from what was written";
        if (table.Sums != StoreSums.Counted)
            yield break;
        var kept = connection.Rows("select rows, sum from sums where part = $a", row => (row.GetInt64(0), row.GetInt64(1)), table.Name);
        if (kept.FirstOrDefault() is var (rowsKept, sumKept) && (rowsKept, sumKept) != (rows, sum))
            yield return rowsKept > rows
                ? Counted(rowsKept - rows, "row of {0} is missing", "rows of {0} are missing", table.Name)
                : $"the rows of {table.Name} do not come to what was written down";
    }

    private static string Counted(long count, string one, string many, string of = "") =>
        string.Create(CultureInfo.InvariantCulture, $"{count} ") + string.Format(CultureInfo.InvariantCulture, count == 1 ? one : many, of);
}
