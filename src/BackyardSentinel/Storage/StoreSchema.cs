using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>Opening the store's file: to write, once more beside that, or only to read.</summary>
internal static class StoreSchema
{
    /// <summary>Tables that a file of version 1 has; those of later versions are added to it.</summary>
    private static readonly string[] _firstTables = ["meta", "series", "readings", "totals", "events", "quarantine"];

    /// <summary>Opens a file to write, making it if there is none and bringing it up to this version.</summary>
    /// <param name="path">The file.</param>
    /// <param name="isAlone">The caller holds the <see cref="StoreLock"/>: no service of an earlier version runs.</param>
    /// <exception cref="StoreException">It cannot be used.</exception>
    public static SqliteConnection Open(string path, bool isAlone = false)
    {
        var connection = Connection(path, SqliteOpenMode.ReadWriteCreate);
        try
        {
            connection.Open();
            RowSum.AddTo(connection);
            RefuseOthers(connection, path);
            if (VersionOf(connection) is { } version and < StoreTables.Version)
            {
                if (connection.Value("pragma quick_check(1)") is not "ok")
                    throw new StoreException(Damaged(path, "its pages do not fit together"), isLasting: true);
                using var alone = isAlone ? null : HoldToMigrate(path);
                StoreMigration.Run(connection, version);
            }

            if (TablesOf(connection).Count == 0)
                Make(connection);
            connection.Run("pragma journal_mode = wal");
            connection.Run("pragma synchronous = full");
            return connection;
        }
        catch (SqliteException failure)
        {
            connection.Dispose();
            throw Refusal(path, failure);
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    /// <summary>
    /// A further connection to a file that <see cref="Open"/> has opened or made, and looked over: it may be large, and once is
    /// enough.
    /// </summary>
    public static SqliteConnection Beside(string path)
    {
        var connection = Connection(path, SqliteOpenMode.ReadWrite);
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
        try
        {
            RefuseOthers(connection, path);
            if (VersionOf(connection) is StoreTables.Version)
                return connection;
            connection.Dispose();
            Open(path).Dispose();
            return StoreReading.Connect(path);
        }
        catch (SqliteException failure)
        {
            connection.Dispose();
            throw Refusal(path, failure);
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
    /// <remarks>The number may be damaged: from version 5 on its row has a sum that tells.</remarks>
    private static long? VersionOf(SqliteConnection connection) =>
        TablesOf(connection).Count == 0 ? null : connection.Value("select value from meta where key = 'schema'") as long?;

    /// <summary>A connection that is not opened yet.</summary>
    public static SqliteConnection Connection(string source, SqliteOpenMode mode) =>
        new(
            new SqliteConnectionStringBuilder
            {
                DataSource = source,
                Pooling = false,
                DefaultTimeout = 5,
                Mode = mode,
            }.ToString());

    /// <summary>Refuses a file of another program or version before anything in it is changed.</summary>
    private static void RefuseOthers(SqliteConnection connection, string path)
    {
        var tables = TablesOf(connection);
        if (tables.Count == 0)
            return;
        var known = _firstTables.Count(tables.Contains);
        if (known < _firstTables.Length)
            throw known < 3
                ? new StoreException(
                    $"The store {path} is a database of another program or version; nothing in it was changed. Name another file.",
                    isLasting: true)
                : new StoreException(Damaged(path, "not all its tables are there"), isLasting: true) { IsDamage = true };
        var rows = connection.Rows("select value from meta where key = 'schema'", row => row.GetValue(0));
        var version = rows.Count > 0 ? rows[0] : null;
        var hasSums = HasSums(connection);
        if (hasSums && (version is not long || connection.Value(
                $"select 1 from meta where key = 'schema' and sum is not {RowSum.Function}('meta', key, value)") is not null))
            throw new StoreException(Damaged(path, "the number of its version has changed"), isLasting: true) { IsDamage = true };
        if (version is not (long and >= 1 and <= StoreTables.Version))
            throw new StoreException(
                $"The store {path} has schema {version}, and this program knows {StoreTables.Version}: it was written by another version. Start that version, or name another file.",
                isLasting: true);
    }

    /// <summary>What went wrong, as a sentence of the store.</summary>
    public static StoreException Refusal(string path, SqliteException failure) =>
        new(Explain(path, failure), failure, isLasting: IsDamage(failure)) { IsDamage = IsDamage(failure) };

    /// <summary>The file holds what cannot be: an error in our statements, a page that is none, no database at all.</summary>
    public static bool IsDamage(SqliteException failure) => failure.SqliteErrorCode is 1 or 11 or 26;

    /// <summary>A sentence about a damaged file that is left alone.</summary>
    public static string Damaged(string path, string why) =>
        $"The store {path} cannot be read: {why}. Nothing in it was changed. Start the service, which saves what can be read, or put a backup in its place by 'restore'.";

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
                $"The store {path} is of an earlier version, and a service uses it or it cannot be written. Start the service of this version once; it brings the store up to date.",
                failure);
        }
    }

    private static string Explain(string path, SqliteException failure) => failure.SqliteErrorCode switch
    {
        1 or 11 or 26 => Damaged(path, "it is not a database or is damaged"),
        5 or 6 => $"The store {path} is in use by another program. Is another copy running?",
        8 => $"The store {path} cannot be written: the file or the disk is read-only.",
        10 => $"The store {path} cannot be read or written: the disk gives an error. Look at the disk's cables or card, and at the system's log.",
        13 => $"The store {path} cannot be written: the disk is full.",
        14 => $"The store {path} cannot be opened. Does its folder exist, and may this user write there?",
        _ => $"The store {path} cannot be opened: {failure.Message}",
    };
}
