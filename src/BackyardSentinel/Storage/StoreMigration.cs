using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Brings a file of an earlier version up to this one in one step and one transaction: a power cut leaves the file as it was.
/// </summary>
internal static class StoreMigration
{
    /// <summary>The version from which on rows have sums.</summary>
    private const long WithSums = 6;

    /// <summary>Takes the step that a file lacks.</summary>
    /// <param name="connection">The file; nobody else writes it.</param>
    /// <param name="from">The version that wrote it.</param>
    public static void Run(SqliteConnection connection, long from)
    {
        using var transaction = connection.BeginTransaction();
        if (from < WithSums)
            AddSums(connection);
        else
            ShortenReadings(connection);
        connection.Run("update meta set value = $a where key = 'schema'", StoreTables.Version);
        transaction.Commit();
    }

    /// <summary>
    /// Versions 1 to 5 differ in the tables and columns they have. What this version still has is copied into its tables, whose
    /// rows have sums; what no clock can have shown is damage, and left out.
    /// </summary>
    private static void AddSums(SqliteConnection connection)
    {
        List<(StoreTable Table, string Into, string From)> old = [];
        foreach (var table in StoreTables.All)
        {
            HashSet<string> has =
                [.. connection.Rows($"select name from pragma_table_info('{table.Name}')", row => row.GetString(0))];
            if (has.Count == 0)
                continue;
            var columns = string.Join(", ", table.Names.Where(has.Contains));
            old.Add(table.Name == "readings" ? (table, string.Join(", ", table.Names), ReadingRow.FromOld) : (table, columns, columns));
            connection.Run($"alter table {table.Name} rename to old_{table.Name}");
        }

        foreach (var (_, create) in StoreTables.Statements)
            connection.Run(create);
        foreach (var (table, into, from) in old)
        {
            var possible = table.Name == "readings" ? $" where {ReadingRow.OldIsPossible}" : "";
            connection.Run($"insert into {table.Name}({into}) select {from} from old_{table.Name}{possible}");
            if (table.Sums == StoreSums.ByWriter)
                connection.Run($"update {table.Name} set sum = {table.SumOf()}");
            connection.Run($"drop table old_{table.Name}");
        }

        HourSums.Rebuild(connection);
    }

    /// <summary>
    /// Version 6 kept a reading's value and arrival as they are. A row that is not as it was written stays such a row, and an
    /// hour keeps the number of its readings, so that no damage is lost sight of.
    /// </summary>
    private static void ShortenReadings(SqliteConnection connection)
    {
        var isSound = $"sum is {ReadingRow.OldSum} and {ReadingRow.OldIsPossible}";
        connection.Run("alter table readings rename to old_readings");
        foreach (var (_, create) in StoreTables.Statements.Where(
            one => one.Name is "readings" || one.Name.StartsWith("hourly", StringComparison.Ordinal)))
            connection.Run(create);
        connection.Run(
            $"insert into readings(time_ms, series, value, lag_us, sum) select {ReadingRow.FromOld}, {isSound} from old_readings");
        connection.Run("drop table old_readings");
        var sum = StoreTables.All.First(table => table.Name == "readings").SumOf();
        connection.Run($"update readings set sum = case sum when 1 then {sum} else ~{sum} end");
        connection.Run(
            "update hours set total = totals.total from (select time_ms / 3600000 as hour, sum(sum) as total from readings group by 1) "
                + "as totals where hours.hour = totals.hour and hours.sum is "
                + $"{StoreTables.All.First(table => table.Name == "hours").SumOf("hours.")}");
    }
}
