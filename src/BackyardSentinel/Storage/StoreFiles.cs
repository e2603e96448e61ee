using System.Runtime.InteropServices;
using Microsoft.Data.Sqlite;
using SQLitePCL;

namespace BackyardSentinel.Storage;

/// <summary>A database's files on the disk.</summary>
internal static class StoreFiles
{
    /// <summary>
    /// Asks whether a database's file no longer is the one that was opened (sqlite.org/c3ref/c_fcntl_begin_atomic_write.html).
    /// </summary>
    private const int HasMoved = 20;

    /// <summary>What SQLite puts beside a database.</summary>
    public static IReadOnlyList<string> Beside { get; } = ["-wal", "-shm"];

    /// <summary>
    /// SQLite asks for a lock at each call, unless it is told that no two threads use a connection at once. Here none do: a book
    /// that several threads use has a lock of its own, and each statement is disposed by whoever made it, since what is left over
    /// would be finalized on another thread. Told too late, as in a test that has opened one before, it goes on as it did.
    /// </summary>
    static StoreFiles()
    {
        Batteries_V2.Init();
        raw.sqlite3_config(raw.SQLITE_CONFIG_MULTITHREAD);
    }

    /// <summary>A connection that is not opened yet. Two threads may use it in turn, but never at once.</summary>
    public static SqliteConnection Connection(string source, SqliteOpenMode mode) =>
        new(
            new SqliteConnectionStringBuilder
            {
                DataSource = source,
                Pooling = false,
                DefaultTimeout = 5,
                Mode = mode,
            }.ToString());

    /// <summary>
    /// Makes a database's file, empty, if there is none: SQLite itself would let no group write it whatever the umask says, and gives
    /// what lies beside it the file's own rights. So the group of an installed service may write its journal.
    /// </summary>
    /// <param name="path">The file.</param>
    public static void MakeFor(string path)
    {
        try
        {
            new FileStream(path, FileMode.OpenOrCreate, FileAccess.Write, FileShare.ReadWrite, bufferSize: 1).Dispose();
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            // Opening it tells why it cannot be had.
        }
    }

    /// <summary>
    /// A file that was removed, moved away or replaced while it is open still takes everything, and all of that is lost once it is
    /// closed: nothing more may be written then.
    /// </summary>
    /// <param name="connection">The file.</param>
    /// <exception cref="SqliteException">It is not in its place.</exception>
    public static void MustBeThere(SqliteConnection connection)
    {
        if (Control(connection.Handle!.DangerousGetHandle(), "main", HasMoved, out var hasMoved) != raw.SQLITE_OK || hasMoved == 0)
            return;
        var path = connection.DataSource;
        throw new SqliteException(
            File.Exists(path)
                ? $"another file lies in the place of its file {path}: move that away, stop the service, and bring it back by 'restore'"
                : $"its file {path} is gone: put it back, or start the service anew without what it held",
            raw.SQLITE_CANTOPEN);
    }

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

    [DllImport("e_sqlite3", EntryPoint = "sqlite3_file_control", CallingConvention = CallingConvention.Cdecl)]
    private static extern int Control(nint database, [MarshalAs(UnmanagedType.LPUTF8Str)] string schema, int what, out int answer);
}
