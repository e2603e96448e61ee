using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>The tables, and opening a file that has them.</summary>
internal static class StoreSchema
{
    /// <summary>Raised with each change of the tables.</summary>
    public const long Version = 5;

    // Readings are keyed by time first: new rows then land side by side, which costs the fewest page writes.
    private const string Tables = """
        create table if not exists meta(key text primary key, value) without rowid;
        create table if not exists series(id integer primary key, name text not null unique);
        create table if not exists readings(
          time_ms integer not null, series integer not null, value real not null, received_us integer not null,
          primary key(time_ms, series)) without rowid;
        create table if not exists totals(series integer primary key, total real not null, time_ms integer not null);
        create table if not exists events(key text primary key, at integer not null) without rowid;
        create table if not exists quarantine(
          topic text not null, reason text not null, first_us integer not null, last_us integer not null,
          count integer not null, payload blob not null, value real, primary key(topic, reason)) without rowid;

        -- The journal only grows: a correction names the entry it takes the place of, a withdrawal the one it takes back.
        create table if not exists journal(
          number integer primary key, written_us integer not null, kind text not null, site text not null, planting text not null,
          on_day text not null, json text not null, corrects integer, withdraws integer);

        -- One row for each alert and receiver; it ends delivered, superseded or expired, and is never deleted unread.
        create table if not exists outbox(
          id text not null, receiver text not null, episode text not null, created_ms integer not null, useful_until_ms integer not null,
          state text not null, attempts integer not null, next_ms integer, last_answer text, message text not null,
          primary key(id, receiver)) without rowid;
        -- When listening stopped for a while: the program was off, or its broker out of reach.
        create table if not exists outages(from_ms integer primary key);
        -- What the broker delivered last: by this a message that comes again after a power cut is known. Numbers leave no gap.
        create table if not exists deliveries(number integer primary key, packet integer not null, digest integer not null, waited integer not null);
        -- Readings that were stamped while the clock was ahead: when they were true is not known.
        create table if not exists readings_aside(time_ms integer not null, series integer not null, value real not null, received_us integer not null);
        create table if not exists answers(received_us integer primary key, episode text not null, kind text not null, until_ms integer);
        """;

    /// <summary>Tables that a file of version 1 has; those of later versions are added to it.</summary>
    private const string FirstTables = "'meta', 'series', 'readings', 'totals', 'events', 'quarantine'";

    public static SqliteConnection Open(string path)
    {
        var connection = Connection(path, SqliteOpenMode.ReadWriteCreate);
        try
        {
            connection.Open();
            if (connection.Value("pragma quick_check(1)") is not "ok")
                throw new StoreException(Damaged(path, "its pages do not fit together"), isLasting: true);
            using (var transaction = connection.BeginTransaction())
            {
                RefuseOthers(connection, path);
                connection.Run(Tables);
                // Files of the first versions kept no value aside.
                if (connection.Value("select count(*) from pragma_table_info('quarantine') where name = 'value'") is 0L)
                    connection.Run("alter table quarantine add column value real");
                // Those before version 5 kept what an event was, and nobody read it.
                if (connection.Value("select count(*) from pragma_table_info('events') where name = 'json'") is 1L)
                    connection.Run("alter table events drop column json; alter table events drop column site");
                connection.Run($"insert or replace into meta values('schema', {Version})");
                transaction.Commit();
            }

            connection.Run("pragma journal_mode = wal");
            connection.Run("pragma synchronous = full");

            return connection;
        }
        catch (SqliteException failure)
        {
            connection.Dispose();
            throw new StoreException(Explain(path, failure), failure, isLasting: failure.SqliteErrorCode is 1 or 11 or 26);
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

    private static SqliteConnection Connection(string path, SqliteOpenMode mode) =>
        new(
            new SqliteConnectionStringBuilder
            {
                DataSource = path,
                Pooling = false,
                DefaultTimeout = 5,
                Mode = mode,
            }.ToString());

    /// <summary>Refuses a file of another program or version before anything in it is changed.</summary>
    private static void RefuseOthers(SqliteConnection connection, string path)
    {
        if (connection.Value("select count(*) from sqlite_master where type = 'table'") is 0L)
            return;
        if (connection.Value($"select count(*) from sqlite_master where name in ({FirstTables})") is not 6L)
            throw new StoreException(
                $"The store {path} is a database of another program or version; nothing in it was changed. Name another file.",
                isLasting: true);
        var version = connection.Value("select value from meta where key = 'schema'");
        if (version is not (long and >= 1 and <= Version))
            throw new StoreException(
                $"The store {path} has schema {version}, and this program knows {Version}: it was written by another version. Start that version, or name another file.",
                isLasting: true);
    }

    private static string Explain(string path, SqliteException failure) => failure.SqliteErrorCode switch
    {
        1 or 11 or 26 => Damaged(path, "it is not a database or is damaged"),
        5 or 6 => $"The store {path} is in use by another program. Is another copy running?",
        8 => $"The store {path} cannot be written: the file or the disk is read-only.",
        13 => $"The store {path} cannot be written: the disk is full.",
        14 => $"The store {path} cannot be opened. Does its folder exist, and may this user write there?",
        _ => $"The store {path} cannot be opened: {failure.Message}",
    };

    private static string Damaged(string path, string why) =>
        $"The store {path} cannot be read: {why}. Nothing in it was changed. Move the file aside to start a new one, or put a backup in its place.";
}
