namespace BackyardSentinel.Guards;

/// <summary>The room that is left on a disk.</summary>
public static class DiskRoom
{
    /// <summary>Bytes that are free where a file or folder lies; <c>null</c>: the system does not say.</summary>
    public static long? FreeBytes(string path)
    {
        try
        {
            return new DriveInfo(Path.GetFullPath(path)).AvailableFreeSpace;
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return null;
        }
    }
}
