using System.Globalization;
using BackyardSentinel.Garden;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// The journal in the store. It has a connection of its own, so that a command may write while the service runs; the
/// service sees the new line within a second.
/// </summary>
public sealed class JournalBook : IDisposable
{
    private readonly SqliteConnection _connection;

    private JournalBook(SqliteConnection connection) => _connection = connection;

    /// <summary>Opens the journal, making the store if there is none.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static JournalBook Open(string path)
    {
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new StoreException(
                $"The store {path} cannot be written: {failure.Message.TrimEnd('.')}. "
                    + "Give this user the right to its folder, or name another file.",
                failure);
        }

        return new JournalBook(StoreSchema.Open(path));
    }

    /// <summary>Opens the journal of a store that <see cref="SentinelStore.Open"/> has opened or made.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">There is no such store.</exception>
    public static JournalBook Beside(string path) => new(StoreSchema.Beside(path));

    /// <summary>Opens the journal of a store that is there, and makes none.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">There is no store, or it cannot be used.</exception>
    public static JournalBook OpenExisting(string path) =>
        File.Exists(path)
            ? Open(path)
            : throw new StoreException(
                $"There is no store {Path.GetFullPath(path)}, so there is nothing in its journal. "
                    + "Is this the garden file that the service runs with?");

    /// <summary>Opens the journal of a store that is there, to read it only.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">There is no store, or it cannot be read.</exception>
    public static JournalBook Reading(string path) => new(StoreSchema.Read(path));

    /// <summary>Whether a service has used the store, or a journal was begun in it on purpose.</summary>
    public bool IsInUse()
    {
        // Stores of earlier versions have no mark, but what a service has left.
        return _connection.Value(
            "select exists(select 1 from meta where key = 'served') or exists(select 1 from series) or exists(select 1 from quarantine) "
                + "or exists(select 1 from journal)")
            is 1L;
    }

    /// <summary>The number of the last line; 0 when there is none.</summary>
    public long LastNumber() => (long)_connection.Value("select coalesce(max(number), 0) from journal")!;

    /// <summary>Every line, oldest first. A line that cannot be read any more is left out.</summary>
    public IReadOnlyList<JournalRow> Rows() =>
        _connection.Rows(
            "select number, written_us, json, corrects, withdraws, site from journal order by number",
            row => new JournalRow(
                row.GetInt64(0),
                row.GetInt64(1),
                row.GetString(2) is { Length: > 0 } text ? JournalJson.Read(text, row.GetInt64(0), row.GetString(5)) : null,
                row.IsDBNull(3) ? null : row.GetInt64(3),
                row.IsDBNull(4) ? null : row.GetInt64(4)));

    /// <summary>Writes an entry; it gets the next number.</summary>
    /// <param name="entry">The entry; its own number is not used.</param>
    /// <param name="now">The time of writing.</param>
    /// <param name="corrects">The entry whose place it takes.</param>
    /// <returns>The number it got.</returns>
    /// <exception cref="StoreException">It could not be written.</exception>
    public long Add(JournalEntry entry, DateTimeOffset now, long? corrects = null) =>
        Together([entry], one => Insert(one, now, corrects))[0];

    /// <summary>Writes several entries, such as one for each tree, all of them or none; they get the next numbers.</summary>
    /// <param name="entries">The entries; their own numbers are not used.</param>
    /// <param name="now">The time of writing.</param>
    /// <returns>The numbers they got, in the same order.</returns>
    /// <exception cref="StoreException">They could not be written, and none was.</exception>
    public IReadOnlyList<long> Add(IReadOnlyList<JournalEntry> entries, DateTimeOffset now) =>
        Together(entries, one => Insert(one, now, corrects: null));

    /// <summary>Takes an entry back; both lines stay in the history.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="now">The time of writing.</param>
    /// <returns>The number of the new line.</returns>
    /// <exception cref="StoreException">It could not be taken back.</exception>
    public long Withdraw(JournalEntry entry, DateTimeOffset now) => Withdraw([entry], now)[0];

    /// <summary>Takes several entries back, all of them or none.</summary>
    /// <param name="entries">The entries.</param>
    /// <param name="now">The time of writing.</param>
    /// <returns>The numbers of the new lines, in the same order.</returns>
    /// <exception cref="StoreException">They could not be taken back, and none was.</exception>
    public IReadOnlyList<long> Withdraw(IReadOnlyList<JournalEntry> entries, DateTimeOffset now) =>
        Together(entries, one => Insert("withdrawal", one, "", now, null, withdraws: one.Number));

    /// <inheritdoc/>
    public void Dispose() => _connection.Dispose();

    /// <summary>Writes lines in one transaction: whoever is told that they were not written may send them again.</summary>
    private List<long> Together(IReadOnlyList<JournalEntry> entries, Func<JournalEntry, long> write)
    {
        // Nothing to write need not wait for who holds the store.
        if (entries.Count == 0)
            return [];
        try
        {
            StoreFiles.MustBeThere(_connection);
            using var transaction = _connection.BeginTransaction();
            List<long> numbers = [.. entries.Select(write)];
            transaction.Commit();
            return numbers;
        }
        catch (SqliteException failure)
        {
            throw new StoreException(
                $"The journal could not be written ({failure.Message.TrimEnd('.')}), and nothing was. "
                    + "Another program may hold the store, or the disk be full or read-only; try again.",
                failure);
        }
    }

    private long Insert(JournalEntry entry, DateTimeOffset now, long? corrects) =>
        Insert(entry.Kind, entry, JournalJson.Write(entry), now, corrects, withdraws: null);

    private long Insert(string kind, JournalEntry entry, string json, DateTimeOffset now, long? corrects, long? withdraws) =>
        (long)_connection.Value(
            "insert into journal(written_us, kind, site, planting, on_day, json, corrects, withdraws) values($a, $b, $c, $d, "
                + "$e, $f, $g, $h) returning number",
            now.ToUnixTimeMilliseconds() * 1000,
            kind,
            entry.Site,
            entry.Planting,
            entry.On.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
            json,
            corrects,
            withdraws)!;
}
