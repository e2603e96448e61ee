using System.Globalization;
using System.Runtime.InteropServices;

namespace BackyardSentinel.Hosting;

/// <summary>
/// Gives memory back to the system that is in use no more. A season read back, a flood of messages or a look at the page leaves much
/// behind, and then a small computer idles for months.
/// </summary>
public static class SpareMemory
{
    // MADV_DONTNEED of Linux's <sys/mman.h>.
    private const int NotNeeded = 4;

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
            LetGoOfFiles();
            before = GC.GetTotalAllocatedBytes();
        }
    }

    /// <summary>
    /// Lets go of what is mapped of the program's file and of libraries: most of it was needed once, at the start or for a page. What is
    /// needed again comes back from the system's cache, and until then the system may use the place for others.
    /// </summary>
    public static void LetGoOfFiles()
    {
        if (!OperatingSystem.IsLinux())
            return;
        try
        {
            var (from, length) = ((nint)0, (nuint)0);
            foreach (var line in File.ReadLines("/proc/self/smaps"))
            {
                if (line is [>= '0' and <= '9' or >= 'a' and <= 'f', ..])
                    (from, length) = OnlyRead(line);
                else if (length > 0 && line.StartsWith("Anonymous:", StringComparison.Ordinal) && IsNone(line))
                    _ = Advise(from, length, NotNeeded); // Refused, it stays.
            }
        }
        catch (Exception absent) when (
            absent is IOException or UnauthorizedAccessException or EntryPointNotFoundException or DllNotFoundException)
        {
            // Where the system does not tell what is mapped, it stays.
        }

        // A page that is the process's own, as one that holds addresses is, the file does not have.
        static bool IsNone(string line) => line.EndsWith(" 0 kB", StringComparison.Ordinal);
    }

    /// <summary>Where a mapping lies of a file that is only read; no length: it is another one.</summary>
    /// <param name="line">As in "7f0000001000-7f0000002000 r-xp 00000000 fe:00 12 /usr/lib/some.so".</param>
    private static (nint From, nuint Length) OnlyRead(ReadOnlySpan<char> line)
    {
        var (dash, blank) = (line.IndexOf('-'), line.IndexOf(' '));
        if (line[(blank + 1)..] is not ['r', '-', _, 'p', ..] || !line.Contains('/'))
            return (0, 0);
        var from = Address(line[..dash]);
        return (from, (nuint)(Address(line[(dash + 1)..blank]) - from));

        static nint Address(ReadOnlySpan<char> text) => nint.Parse(text, NumberStyles.HexNumber, CultureInfo.InvariantCulture);
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

    [DllImport("libc", EntryPoint = "madvise", CallingConvention = CallingConvention.Cdecl)]
    private static extern int Advise(nint from, nuint length, int advice);

    [DllImport("libc", EntryPoint = "malloc_trim", CallingConvention = CallingConvention.Cdecl)]
    private static extern int Trim(nuint keep);
}
