using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Connections that only read. They wait for nobody: WAL shows them the state of the last commit while another program
/// writes. Where the folder cannot be written either, as on a read-only disk, the file is read as it lies there.
/// </summary>
internal static class StoreReading
{
    /// <summary>Opens a file that is there.</summary>
    /// <exception cref="StoreException">It cannot be read.</exception>
    public static SqliteConnection Connect(string path)
    {
        try
        {
            return Opened(path);
        }
        catch (SqliteException failure) when (failure.SqliteErrorCode is 8 or 14)
        {
            return ConnectReadOnlyDisk(path, failure);
        }
        catch (SqliteException failure)
        {
            throw StoreRefusal.Of(path, failure);
        }
    }

    /// <summary>WAL needs a file beside the store, which a read-only disk cannot give.</summary>
    private static SqliteConnection ConnectReadOnlyDisk(string path, SqliteException failure)
    {
        try
        {
            var wal = new FileInfo(path + "-wal");
            if (wal is not { Exists: true, Length: > 0 })
                return Opened(
                    $"file:{Uri.EscapeDataString(Path.GetFullPath(path)).Replace("%2F", "/", StringComparison.Ordinal)}?immutable=1");
            // What is not in the store itself yet lies in the file beside it: both are read from a copy.
            return OpenedCopy(path, wal.FullName);
        }
        catch (Exception reason) when (reason is IOException or UnauthorizedAccessException or SqliteException)
        {
            throw StoreRefusal.Of(path, reason as SqliteException ?? failure);
        }
    }

    /// <summary>The copy goes with the connection: what reads beside it opens it once more by its name.</summary>
    private static SqliteConnection OpenedCopy(string path, string wal)
    {
        var copy = Directory.CreateTempSubdirectory("backyard-sentinel-");
        try
        {
            var name = Path.Combine(copy.FullName, "store.db");
            File.Copy(path, name);
            File.Copy(wal, name + "-wal");
            var connection = Opened(name);
            connection.Disposed += (_, _) => copy.Delete(recursive: true);
            return connection;
        }
        catch
        {
            copy.Delete(recursive: true);
            throw;
        }
    }

    private static SqliteConnection Opened(string source)
    {
        var connection = StoreFiles.Connection(source, SqliteOpenMode.ReadOnly);
        try
        {
            connection.Open();
            RowSum.AddTo(connection);
            connection.Value("select count(*) from sqlite_master"); // Only now is the file looked at.
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }
}
