namespace BackyardSentinel.Storage;

/// <summary>
/// Keeps a second service from the store: each would judge without the other's readings. The lock is the operating
/// system's and ends with the process, however that ends; the empty file beside the store stays.
/// </summary>
public static class StoreLock
{
    /// <summary>
    /// The system's numbers for it, which stand in an exception of files as they are (errno.h of Linux: EWOULDBLOCK, ENOSPC, EROFS; of
    /// Windows, the sharing violation).
    /// </summary>
    private const int InUse = 11, NoSpace = 28, ReadOnly = 30, InUseOnWindows = unchecked((int)0x80070020);

    /// <summary>A service on this computer has the store; <c>null</c>: that is not to be seen from here.</summary>
    /// <param name="path">The store's file.</param>
    public static bool? IsHeld(string path)
    {
        if (!File.Exists(path + ".lock"))
            return false;
        try
        {
            // To read, and beside other readers: only a service, which shares it with nobody, speaks against that.
            new FileStream(path + ".lock", FileMode.Open, FileAccess.Read, FileShare.ReadWrite, bufferSize: 1).Dispose();
            return false;
        }
        catch (UnauthorizedAccessException)
        {
            return null;
        }
        catch (IOException)
        {
            return true;
        }
    }

    /// <summary>Holds the store until the result is disposed; makes its folder if there is none.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">Another service holds it, or its folder cannot be used.</exception>
    public static IDisposable Hold(string path)
    {
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
            return new FileStream(path + ".lock", FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, bufferSize: 1);
        }
        catch (UnauthorizedAccessException failure)
        {
            throw new StoreException(
                $"The store {path} cannot be written: {failure.Message.TrimEnd('.')}. "
                    + "Give this user the right to its folder, or name another file.",
                failure);
        }
        catch (IOException failure)
        {
            throw new StoreException(
                failure.HResult switch
                {
                    NoSpace => $"The store {path} cannot be written: its disk is full. Make room on it.",
                    ReadOnly => $"The store {path} cannot be written: its disk is read-only. A system makes a disk so that fails: its log "
                        + "(dmesg) tells. Copy what is on the disk, and mend or replace it.",
                    InUse or InUseOnWindows => $"The store {path} cannot be had alone: {failure.Message.TrimEnd('.')}. "
                        + "Is another copy running? Stop it, or name another file.",
                    _ => $"The store {path} cannot be written: {failure.Message.TrimEnd('.')}. Name another file.",
                },
                failure);
        }
    }
}
