namespace BackyardSentinel.Storage;

/// <summary>
/// Keeps a second service from the store: each would judge without the other's readings. The lock is the operating
/// system's and ends with the process, however that ends; the empty file beside the store stays.
/// </summary>
internal static class StoreLock
{
    /// <summary>Holds the store until the result is disposed.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">Another service holds it.</exception>
    public static IDisposable Hold(string path)
    {
        try
        {
            return new FileStream(path + ".lock", FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, bufferSize: 1);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new StoreException($"The store {path} cannot be had alone: {failure.Message.TrimEnd('.')}. Is another copy running? Stop it, or name another file.", failure);
        }
    }
}
