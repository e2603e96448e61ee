using Microsoft.Data.Sqlite;
using SQLitePCL;

namespace BackyardSentinel.Storage;

/// <summary>
/// Keeps other programs from writing into a damaged file while it is moved aside: what they wrote would go with it. It stays as long as
/// the store that takes the file's place. So nobody who waits for the file gets it, and nobody who has it open closes it as the last:
/// that one would remove the log beside it by its name, which is that of the new store's by then.
/// </summary>
internal sealed class WriteStop : IDisposable
{
    private readonly SqliteConnection _connection;

    private WriteStop(SqliteConnection connection) => _connection = connection;

    /// <summary>Waits for who writes now, and lets nobody write from then on; <c>null</c>: into this file nobody can.</summary>
    /// <param name="path">The file.</param>
    public static WriteStop? On(string path)
    {
        var connection = StoreFiles.Connection(path, SqliteOpenMode.ReadWrite);
        try
        {
            connection.Open();
            // Nor does this one write or remove anything when it is closed.
            if (raw.sqlite3_db_config(connection.Handle, raw.SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, out _) != raw.SQLITE_OK)
                throw new InvalidOperationException("SQLite does not know how to close a file without touching it.");
            connection.Run("begin immediate");
            return new WriteStop(connection);
        }
        catch (SqliteException)
        {
            connection.Dispose();
            return null;
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _connection.Dispose();
}
