using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Brings a file of an earlier version up to this one, a step a version and a transaction a step: a power cut leaves the file
/// as it was before the step.
/// </summary>
internal static class StoreMigration
{
    /// <summary>Each step by the version that it gives; it begins with any version between that and the step before.</summary>
    private static readonly (long To, Action<SqliteConnection> Step)[] Steps = [(6, AddSums)];

    /// <summary>Takes the steps that a file lacks.</summary>
    /// <param name="connection">The file; nobody else writes it.</param>
    /// <param name="from">The version that wrote it.</param>
    public static void Run(SqliteConnection connection, long from)
    {
        foreach (var (to, step) in Steps.Where(one => one.To > from))
        {
            using var transaction = connection.BeginTransaction();
            step(connection);
            connection.Run("update meta set value = $a where key = 'schema'", to);
            transaction.Commit();
        }
    }

    /// <summary>
    /// Versions 1 to 5 differ in the tables and columns they have. What version 6 still has is copied into its tables, whose rows
    /// have sums; what no clock can have shown is damage, and left out.
    /// </summary>
    private static void AddSums(SqliteConnection connection)
    {
        List<(StoreTable Table, string Columns)> old = [];
        foreach (var table in StoreTables.All)
        {
            HashSet<string> has =
                [.. connection.Rows($"select name from pragma_table_info('{table.Name}')", row => row.GetString(0))];
            if (has.Count == 0)
                continue;
            old.Add((table, string.Join(", ", table.Names.Where(has.Contains))));
            connection.Run($"alter table {table.Name} rename to old_{table.Name}");
        }

        foreach (var (_, create) in StoreTables.Statements)
            connection.Run(create);
        foreach (var (table, columns) in old)
        {
            var sum = table.Sums == StoreSums.ByWriter ? (", sum", ", " + table.SumOf()) : ("", "");
            var possible = table.Name == "readings"
                ? $" where time_ms between {StoredTime.FirstMs} and {StoredTime.LastMs} and received_us between {StoredTime.FirstMs * 1000} and {StoredTime.LastMs * 1000}"
                : "";
            connection.Run($"insert into {table.Name}({columns}{sum.Item1}) select {columns}{sum.Item2} from old_{table.Name}{possible}");
            connection.Run($"drop table old_{table.Name}");
        }

        HourSums.Rebuild(connection);
    }
}
