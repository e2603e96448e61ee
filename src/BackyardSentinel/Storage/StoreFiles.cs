using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>A database's files on the disk.</summary>
internal static class StoreFiles
{
    /// <summary>What SQLite puts beside a database.</summary>
    public static IReadOnlyList<string> Beside { get; } = ["-wal", "-shm"];

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

    /// <summary>Removes a database with what lies beside it.</summary>
    public static void Delete(string path)
    {
        File.Delete(path);
        foreach (var beside in Beside)
            File.Delete(path + beside);
    }

    /// <summary>When it returns, the disk has the file as it is now.</summary>
    public static void KeepTo(string path)
    {
        using var file = new FileStream(path, FileMode.Open, FileAccess.ReadWrite);
        file.Flush(flushToDisk: true);
    }
}
