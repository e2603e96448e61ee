using System.Runtime.InteropServices;

namespace BackyardSentinel.Hosting;

/// <summary>
/// Gives memory back to the system that is in use no more. A season read back, a flood of messages or a look at the page leaves much
/// behind, and then a small computer idles for months.
/// </summary>
internal static class SpareMemory
{
    private static readonly TimeSpan Pause = TimeSpan.FromMinutes(1);

    /// <summary>Less asked for since the last time is not worth looking through the rest, bytes (assumed).</summary>
    private const long Worthwhile = 1 << 20;

    /// <summary>Looks each minute, by the computer's own time: memory is no matter of the garden's.</summary>
    /// <param name="ct">Asks it to end.</param>
    public static async Task GiveBackAsync(CancellationToken ct)
    {
        long before = 0;
        while (true)
        {
            await Task.Delay(Pause, TimeProvider.System, ct).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            if (ct.IsCancellationRequested)
                return;
            if (GC.GetTotalAllocatedBytes() - before < Worthwhile)
                continue;
            GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive, blocking: true, compacting: true);
            TrimLibrary();
            before = GC.GetTotalAllocatedBytes();
        }
    }

    /// <summary>What the C library holds free, which it took for SQLite and OpenSSL in each thread that used them.</summary>
    private static void TrimLibrary()
    {
        if (!OperatingSystem.IsLinux())
            return;
        try
        {
            _ = Trim(0); // Whether there was anything.
        }
        catch (Exception absent) when (absent is EntryPointNotFoundException or DllNotFoundException)
        {
            // A C library that is not GNU's gives back by its own rules.
        }
    }

    [DllImport("libc", EntryPoint = "malloc_trim", CallingConvention = CallingConvention.Cdecl)]
    private static extern int Trim(nuint keep);
}
