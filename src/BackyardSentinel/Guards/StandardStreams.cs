using Microsoft.Win32.SafeHandles;

namespace BackyardSentinel.Guards;

/// <summary>
/// Whoever starts the program may have closed its input, its output or where it tells errors. The next file that is opened would take that
/// place, and be written into what should have been told.
/// </summary>
public static class StandardStreams
{
    private const int Last = 2;

    private static readonly List<SafeFileHandle> Kept = [];

    /// <summary>Puts nothing in the place of each that is closed; before any file is opened.</summary>
    public static void Fill()
    {
        try
        {
            while (true)
            {
                var handle = File.OpenHandle("/dev/null", FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite);
                if (handle.DangerousGetHandle() > Last)
                {
                    handle.Dispose();
                    return;
                }

                Kept.Add(handle);
            }
        }
        catch (Exception none) when (none is IOException or UnauthorizedAccessException)
        {
            // Where there is no such device there is nothing to put there.
        }
    }
}
