using System.Globalization;
using BackyardSentinel.Guards;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>A backup that was written, or a store that was restored.</summary>
/// <param name="Path">The new file; <c>null</c>: nothing was written.</param>
/// <param name="Bytes">Its size.</param>
/// <param name="Holds">What it holds.</param>
/// <param name="Faults">What is not as it was written, as clauses; none: it is sound.</param>
/// <param name="Kept">Where what was there before is kept; <c>null</c>: nothing was there.</param>
public sealed record StoreCopy(string? Path, long Bytes, StoreSummary Holds, IReadOnlyList<string> Faults, string? Kept = null);

/// <summary>
/// Copies the store away while the service runs, and back while it does not. A copy counts once it has been read through.
/// </summary>
public static class StoreBackup
{
    private const UnixFileMode OwnerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    /// <summary>Writes a copy of the store as it stands at its last commit. The service goes on meanwhile.</summary>
    /// <param name="store">The store's file.</param>
    /// <param name="target">A file that is not there yet.</param>
    /// <param name="now">Now; the store keeps when it was last copied, where this user may write it.</param>
    /// <exception cref="StoreException">The store cannot be read, or the copy not written.</exception>
    public static StoreCopy Write(string store, string target, DateTimeOffset now)
    {
        if (File.Exists(target))
            throw new StoreException($"{target} is there already, and a backup takes nothing's place; name another file, or a folder.");
        var part = target + ".part";
        using var connection = StoreSchema.Read(store);
        try
        {
            CreatePrivate(part);
            connection.Run("vacuum into $a", part);
            StoreFiles.KeepTo(part);
            var copy = Look(part, target);
            File.Move(part, target);
            Note(store, now);
            return copy;
        }
        catch (Exception failure)
        {
            StoreFiles.Delete(part);
            if (failure is SqliteException damage && StoreCheck.Tells(damage))
                throw StoreRefusal.Of(store, damage);
            if (failure is SqliteException or IOException or UnauthorizedAccessException)
                throw new StoreException(
                    $"The backup {target} could not be written ({failure.Message.TrimEnd('.')}); the store is as it was. Is there room, "
                        + "and may this user write there?",
                    failure);
            throw;
        }
    }

    /// <summary>Reads the store through as a backup would, and writes nothing.</summary>
    /// <param name="store">The store's file.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public static StoreCopy Check(string store)
    {
        using var connection = StoreSchema.Read(store);
        return new StoreCopy(null, new FileInfo(store).Length, StoreSummary.Of(connection), StoreCheck.Whole(connection));
    }

    /// <summary>Puts a backup in the store's place, and keeps what was there. The service must not run.</summary>
    /// <param name="backup">The backup; it stays as it is.</param>
    /// <param name="store">The store's file.</param>
    /// <param name="now">Now; names what was there.</param>
    /// <param name="dryRun">Only looks.</param>
    /// <exception cref="StoreException">The service runs, or the backup cannot be used.</exception>
    public static StoreCopy Restore(string backup, string store, DateTimeOffset now, bool dryRun)
    {
        if (!File.Exists(backup))
            throw new StoreException($"There is no file {backup}.");
        if (OrdinaryFile.HasNoLength(backup))
            throw new StoreException($"{backup} is empty or no ordinary file; name the backup to restore.");
        if (Path.GetFullPath(backup) == Path.GetFullPath(store))
            throw new StoreException($"{backup} is the store itself; name the backup to restore.");
        // Whoever only looks does so beside the service.
        using var alone = dryRun ? null : StoreLock.Hold(store);
        var copy = store + (dryRun ? ".looked-through" : ".restoring");
        try
        {
            StoreFiles.Delete(copy);
            StoreFiles.MakeFor(copy);
            // Whoever restores it, the service must be able to write it: it gets the rights of the one it replaces, or of a new one.
            var rights = OperatingSystem.IsWindows() ? OwnerOnly : File.GetUnixFileMode(File.Exists(store) ? store : copy);
            CreatePrivate(copy);
            File.Copy(backup, copy, overwrite: true);
            if (File.Exists(backup + "-wal"))
                File.Copy(backup + "-wal", copy + "-wal");
            StoreCopy restored;
            using (var connection = StoreSchema.Open(copy, isAlone: true))
            {
                var faults = StoreCheck.Whole(connection);
                if (faults.Count > 0)
                    throw new StoreException(Refused(string.Join("; ", faults)), isLasting: true);
                restored = new StoreCopy(dryRun ? null : store, new FileInfo(copy).Length, StoreSummary.Of(connection), faults);
                connection.Run("pragma wal_checkpoint(truncate)");
            }

            if (dryRun)
            {
                StoreFiles.Delete(copy);
                return restored;
            }

            StoreFiles.KeepTo(copy);
            if (!OperatingSystem.IsWindows())
                File.SetUnixFileMode(copy, rights);
            var kept = string.Create(CultureInfo.InvariantCulture, $"{store}.before-restore-{now.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}");
            // What lies beside a store that is gone would be taken for the backup's.
            foreach (var beside in StoreFiles.Beside)
            {
                if (File.Exists(store + beside))
                    File.Move(store + beside, kept + beside);
            }

            // In one step, so that a power cut leaves the one or the other.
            if (File.Exists(store))
                File.Replace(copy, store, kept);
            else
                File.Move(copy, store);
            return restored with { Kept = File.Exists(kept) ? kept : null };
        }
        catch (Exception failure)
        {
            StoreFiles.Delete(copy);
            if (failure is StoreException { IsDamage: true })
                throw new StoreException(Refused("it is no store of this service or is damaged"), failure, isLasting: true);
            if (failure is SqliteException or IOException or UnauthorizedAccessException)
                throw new StoreException(
                    $"{backup} could not be restored: {failure.Message.TrimEnd('.')}. Is there room beside {store}, "
                        + "and may this user write there?",
                    failure);
            throw;
        }

        string Refused(string why) => $"{backup} was not restored: {why}. The store is as it was; take another backup.";
    }

    private static void Note(string store, DateTimeOffset now)
    {
        try
        {
            using var connection = StoreSchema.Beside(store);
            connection.Run("insert or replace into meta(key, value) values('backup', $a)", now.ToUnixTimeMilliseconds());
        }
        catch (Exception failure) when (failure is StoreException or SqliteException)
        {
            // Whoever may only read the store still has the copy.
        }
    }

    /// <summary>A copy is read through before it counts.</summary>
    private static StoreCopy Look(string part, string target)
    {
        using var written = StoreReading.Connect(part);
        return new StoreCopy(target, new FileInfo(part).Length, StoreSummary.Of(written), StoreCheck.Whole(written));
    }

    /// <summary>A garden's place and habits are nobody else's.</summary>
    private static void CreatePrivate(string path)
    {
        File.Delete(path); // It may have been left from before.
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
            options.UnixCreateMode = OwnerOnly;
        new FileStream(path, options).Dispose();
    }
}
