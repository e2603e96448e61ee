using System.Globalization;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Opens the store for the service. A damaged one is moved aside, and a new one made of what can be read of it: never an
/// empty one in silence, and never one that differs from what was written without a word.
/// </summary>
/// <remarks>
/// The new file is complete, on disk and named <c>….saved</c> before the damaged one is touched. A power cut leaves either the
/// damaged file, and all begins again, or both, and the next start takes up the moving where it ended.
/// </remarks>
public static class StoreRescue
{
    private const string Saved = ".saved";

    private static readonly Dictionary<string, (string One, string Many)> Words = new()
    {
        ["series"] = ("name of a series", "names of series"),
        ["events"] = ("event", "events"),
        ["journal"] = ("journal entry", "journal entries"),
        ["outbox"] = ("message of the outbox", "messages of the outbox"),
        ["outages"] = ("gap in listening", "gaps in listening"),
        ["answers"] = ("answer to an alert", "answers to alerts"),
        ["quarantine"] = ("refused message", "refused messages"),
        ["readings_aside"] = ("reading set aside", "readings set aside"),
        ["hourly"] = ("hourly value", "hourly values"),
        ["meta"] = ("note of the service", "notes of the service"),
    };

    /// <summary>Opens it. The caller holds the <see cref="StoreLock"/>.</summary>
    /// <param name="path">The file.</param>
    /// <param name="from">Readings before this moment are not looked at; <c>null</c>: all are.</param>
    /// <param name="time">The clock; names what is moved aside.</param>
    /// <param name="onDamage">Told what became of a damaged store.</param>
    /// <exception cref="StoreException">It cannot be used, or what can be read cannot be saved.</exception>
    public static SentinelStore Open(string path, DateTimeOffset? from, TimeProvider time, Action<StoreDamage> onDamage) =>
        Looked(path, connection => StoreCheck.Whole(connection, from), file => SentinelStore.OpenAlone(file), time, onDamage);

    /// <summary>
    /// The same for a caller that will read the season. Its pages are looked over meanwhile, and its readings as they are read: whether
    /// the store <see cref="SentinelStore.IsSound"/> is known afterwards, and where it is not, it is to be opened by <see cref="Open"/>.
    /// Until then nothing may be written.
    /// </summary>
    /// <param name="path">The file.</param>
    /// <param name="from">The season is read from this moment on; <c>null</c>: all of it is.</param>
    /// <param name="time">The clock; names what is moved aside.</param>
    /// <param name="onDamage">Told what became of a damaged store.</param>
    /// <exception cref="StoreException">It cannot be used, or what can be read cannot be saved.</exception>
    internal static SentinelStore OpenToJudge(string path, DateTimeOffset? from, TimeProvider time, Action<StoreDamage> onDamage) =>
        Looked(path, StoreCheck.Tables, file => SentinelStore.OpenToJudge(file, from), time, onDamage);

    private static SentinelStore Looked(
        string path, Func<SqliteConnection, IReadOnlyList<string>> look, Func<string, SentinelStore> open, TimeProvider time,
        Action<StoreDamage> onDamage)
    {
        ArgumentNullException.ThrowIfNull(onDamage);
        FinishMoving(path);
        if (Fault(path, look) is not { } fault)
            return open(path);
        var stop = WriteStop.On(path);
        try
        {
            onDamage(Rescue(path, fault, time.GetUtcNow()));
            return SentinelStore.OpenAlone(path, stop);
        }
        catch
        {
            stop?.Dispose();
            throw;
        }
    }

    /// <summary>What is wrong with a store, as a clause; <c>null</c>: nothing, or there is none.</summary>
    private static string? Fault(string path, Func<SqliteConnection, IReadOnlyList<string>> look)
    {
        if (!File.Exists(path))
            return null;
        if (new FileInfo(path).Length == 0)
            return "it is an empty file"; // SQLite would take it for a new store.
        try
        {
            if (WalCheck.LostCommits(path) is > 0 and var lost)
                return string.Create(
                    CultureInfo.InvariantCulture,
                    $"the file beside it ({Path.GetFileName(path)}-wal), with the last {lost} commits, cannot be read");
            using var connection = StoreSchema.Open(path, isAlone: true);
            return look(connection) is { Count: > 0 } faults ? string.Join("; ", faults) : null;
        }
        catch (StoreException failure) when (failure.IsDamage && IsOurs(path))
        {
            return failure.InnerException is SqliteException inner
                ? $"it cannot be opened ({inner.Message.TrimEnd('.')})"
                : "its tables are not those of a store";
        }
        catch (IOException failure)
        {
            throw new StoreException($"The store {path} cannot be read: {failure.Message.TrimEnd('.')}.", failure);
        }
    }

    /// <summary>
    /// A file that cannot be opened is only moved when it was a database, or one of ours: its tables' columns stand in it in plain
    /// letters.
    /// </summary>
    private static bool IsOurs(string path)
    {
        using var file = File.OpenRead(path);
        var head = "SQLite format 3\0"u8;
        var mark = "received_us"u8;
        var buffer = new byte[1 << 20];
        // No further than needed: a disk that fails may give no more.
        var kept = file.ReadAtLeast(buffer.AsSpan(0, head.Length), head.Length, throwOnEndOfStream: false);
        if (buffer.AsSpan(0, kept).SequenceEqual(head))
            return true;
        while (file.Read(buffer.AsSpan(kept)) is > 0 and var read)
        {
            var span = buffer.AsSpan(0, kept + read);
            if (span.IndexOf(mark) >= 0)
                return true;
            kept = Math.Min(mark.Length - 1, span.Length);
            span[^kept..].CopyTo(buffer);
        }

        return false;
    }

    private static StoreDamage Rescue(string path, string fault, DateTimeOffset now)
    {
        var aside = $"{path}.damaged-{now.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}";
        for (var n = 2; File.Exists(aside); n++)
            aside = string.Create(CultureInfo.InvariantCulture, $"{path}.damaged-{now.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}-{n}");
        var half = aside + ".half";
        StoreDamage damage;
        try
        {
            StoreFiles.Delete(half);
            using (var into = StoreSchema.Open(half, isAlone: true))
            {
                var count = Salvage(path, into);
                damage = new StoreDamage(now, aside, fault, count.Readings, count.Lost, count.From, count.To, Phrase(count.Others));
                into.Run("insert or replace into meta(key, value) values('damage', $a)", damage.Write());
                into.Run("pragma wal_checkpoint(truncate)");
            }

            StoreFiles.KeepTo(half);
            File.Move(half, aside + Saved);
        }
        catch (Exception failure) when (failure is SqliteException or IOException or UnauthorizedAccessException)
        {
            throw new StoreException(
                $"The store {path} is damaged ({fault}), and what can be read of it could not be saved: {failure.Message.TrimEnd('.')}. "
                    + "Nothing in it was changed. Make room beside it, as much as its own size, and start the service again; "
                    + "or put a backup in its place by 'restore'.",
                failure);
        }

        FinishMoving(path);
        return damage;
    }

    private static SalvageCount Salvage(string path, SqliteConnection into)
    {
        SqliteConnection? from = null;
        try
        {
            from = StoreReading.Connect(path);
        }
        catch (StoreException)
        {
            // Nothing of it can be read.
        }

        using (from)
            return StoreSalvage.Save(from, into);
    }

    /// <summary>Where a new store is ready, the damaged one makes room for it.</summary>
    private static void FinishMoving(string path)
    {
        var folder = Path.GetDirectoryName(Path.GetFullPath(path))!;
        if (!Directory.Exists(folder))
            return;
        try
        {
            foreach (var saved in Directory.GetFiles(folder, $"{Path.GetFileName(path)}.damaged-*{Saved}"))
                TakeItsPlace(saved, path);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new StoreException(
                $"The store {path} was damaged, and what could be saved of it lies beside it as a file that ends in {Saved}, but cannot be "
                    + $"put in its place: {failure.Message.TrimEnd('.')}. Let the service's user write in {folder}, and start it again.",
                failure);
        }
    }

    private static void TakeItsPlace(string saved, string path)
    {
        var aside = saved[..^Saved.Length];
        foreach (var beside in (string[])["-shm", "-wal", ""])
        {
            if (File.Exists(path + beside) && !File.Exists(aside + beside))
                File.Move(path + beside, aside + beside);
        }

        File.Move(saved, path, overwrite: false);
    }

    private static string Phrase(IReadOnlyList<(string Table, long Count)> lost) =>
        string.Join(
            ", ",
            lost.Where(one => Words.ContainsKey(one.Table))
                .Select(one =>
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{one.Count} {(one.Count == 1 ? Words[one.Table].One : Words[one.Table].Many)}")));
}
