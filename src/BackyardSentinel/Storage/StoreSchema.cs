using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>Opening the store's file: to write, once more beside that, or only to read.</summary>
internal static class StoreSchema
{
    /// <summary>Tables that a file of version 1 has; those of later versions are added to it.</summary>
    private static readonly string[] FirstTables = ["meta", "series", "readings", "totals", "events", "quarantine"];

    /// <summary>Opens a file to write, making it if there is none and bringing it up to this version.</summary>
    /// <param name="path">The file.</param>
    /// <param name="isAlone">The caller holds the <see cref="StoreLock"/>: no service of an earlier version runs.</param>
    /// <exception cref="StoreException">It cannot be used.</exception>
    public static SqliteConnection Open(string path, bool isAlone = false)
    {
        var connection = StoreFiles.Connection(path, SqliteOpenMode.ReadWriteCreate);
        return OrRefused(connection, path, () =>
        {
            if (!File.Exists(path))
                StoreFiles.MakeFor(path);
            connection.Open();
            RowSum.AddTo(connection);
            RefuseOthers(connection, path);
            if (VersionOf(connection) is { } version and < StoreTables.Version)
            {
                if (connection.Value("pragma quick_check(1)") is not "ok")
                    throw StoreRefusal.Damaged(path, "its pages do not fit together");
                using var alone = isAlone ? null : HoldToMigrate(path);
                StoreMigration.Run(connection, version);
            }

            if (TablesOf(connection).Count == 0)
                Make(connection);
            connection.Run("pragma journal_mode = wal");
            connection.Run("pragma synchronous = full");
            return connection;
        });
    }

    /// <summary>
    /// A further connection to a file that <see cref="Open"/> has opened or made, and looked over: it may be large, and once is
    /// enough.
    /// </summary>
    public static SqliteConnection Beside(string path)
    {
        var connection = StoreFiles.Connection(path, SqliteOpenMode.ReadWrite);
        try
        {
            connection.Open();
            RowSum.AddTo(connection);
            connection.Run("pragma synchronous = full");
            connection.Value("select count(*) from outbox");
            return connection;
        }
        catch (SqliteException failure)
        {
            connection.Dispose();
            throw new StoreException(
                $"The store {path} cannot be opened once more: {failure.Message.TrimEnd('.')}. It must be opened first.",
                failure);
        }
    }

    /// <summary>
    /// Opens a file that is there only to read it, while another program may write. A file of an earlier version is brought up to
    /// this one first.
    /// </summary>
    /// <param name="path">The file.</param>
    /// <exception cref="StoreException">It cannot be read.</exception>
    public static SqliteConnection Read(string path)
    {
        if (!File.Exists(path))
            throw new StoreException(
                $"There is no store {Path.GetFullPath(path)}. Is this the garden file that the service runs with?");
        var connection = StoreReading.Connect(path);
        return OrRefused(connection, path, () =>
        {
            RefuseOthers(connection, path);
            if (VersionOf(connection) is StoreTables.Version)
                return connection;
            connection.Dispose();
            Open(path).Dispose();
            return StoreReading.Connect(path);
        });
    }

    /// <summary>What came of a connection; where that fails, the connection is closed and the failure is told of the file.</summary>
    private static SqliteConnection OrRefused(SqliteConnection connection, string path, Func<SqliteConnection> use)
    {
        try
        {
            return use();
        }
        catch (SqliteException failure)
        {
            connection.Dispose();
            throw StoreRefusal.Of(path, failure);
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    /// <summary>The tables of a new file.</summary>
    private static void Make(SqliteConnection connection)
    {
        using var transaction = connection.BeginTransaction();
        if (TablesOf(connection).Count > 0)
            return; // Another program was faster.
        foreach (var (_, create) in StoreTables.Statements)
            connection.Run(create);
        connection.Run("insert into meta(key, value) values('schema', $a)", StoreTables.Version);
        transaction.Commit();
    }

    /// <summary>The version that wrote a file; <c>null</c>: it is empty.</summary>
    /// <remarks>The number may be damaged: from version 6 on its row has a sum that tells.</remarks>
    private static long? VersionOf(SqliteConnection connection) =>
        TablesOf(connection).Count == 0 ? null : connection.Value("select value from meta where key = 'schema'") as long?;

    /// <summary>Refuses a file of another program or version before anything in it is changed.</summary>
    private static void RefuseOthers(SqliteConnection connection, string path)
    {
        var tables = TablesOf(connection);
        if (tables.Count == 0)
            return;
        var known = FirstTables.Count(tables.Contains);
        if (known < FirstTables.Length)
            throw known < 3
                ? new StoreException(
                    $"The store {path} is a database of another program or version; nothing in it was changed. Name another file.",
                    isLasting: true)
                : StoreRefusal.Damaged(path, "not all its tables are there");
        var rows = connection.Rows("select value from meta where key = 'schema'", row => row.GetValue(0));
        var version = rows.Count > 0 ? rows[0] : null;
        var hasSums = HasSums(connection);
        if (hasSums && (version is not long || connection.Value(
                $"select 1 from meta where key = 'schema' and sum is not {RowSum.Function}('meta', key, value)") is not null))
            throw StoreRefusal.Damaged(path, "the number of its version has changed");
        if (version is not (long and >= 1 and <= StoreTables.Version))
            throw new StoreException(
                $"The store {path} has schema {version}, and this program knows {StoreTables.Version}: "
                    + "it was written by another version. Start that version, or name another file.",
                isLasting: true);
    }

    private static bool HasSums(SqliteConnection connection) =>
        connection.Value("select 1 from pragma_table_info('meta') where name = 'sum'") is not null;

    private static HashSet<string> TablesOf(SqliteConnection connection) =>
        [.. connection.Rows("select name from sqlite_master where type = 'table'", row => row.GetString(0))];

    private static IDisposable HoldToMigrate(string path)
    {
        try
        {
            return StoreLock.Hold(path);
        }
        catch (StoreException failure)
        {
            throw new StoreException(
                $"The store {path} is of an earlier version, and a service uses it or it cannot be written. "
                    + "Start the service of this version once; it brings the store up to date.",
                failure);
        }
    }
}
