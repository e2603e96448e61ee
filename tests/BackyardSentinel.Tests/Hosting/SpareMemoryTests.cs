using BackyardSentinel.Hosting;

namespace BackyardSentinel.Tests.Hosting;

public sealed class SpareMemoryTests
{
    [Fact]
    public void What_is_mapped_of_files_is_let_go_and_comes_back_as_it_is_needed()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Only Linux tells a process what it has mapped.");
        var library = File.ReadLines("/proc/self/maps").First(line => line.Contains(" r-xp ") && line.Contains("libc.so")).Split(' ')[^1];
        var before = ResidentOf(library);

        SpareMemory.LetGoOfFiles();

        var after = ResidentOf(library);
        Assert.True(after < before, $"{after} of {before} KiB of {library} are resident.");
        // All that was let go is needed for this.
        Assert.Equal(1000, Enumerable.Range(0, 1000).Select(i => $"{i}").ToHashSet().Count);
    }

    /// <summary>What is resident of a file's mapping that holds code, KiB.</summary>
    private static long ResidentOf(string file)
    {
        var isIt = false;
        foreach (var line in File.ReadLines("/proc/self/smaps"))
        {
            if (line.Contains(" r-xp "))
                isIt = line.EndsWith(file, StringComparison.Ordinal);
            else if (isIt && line.StartsWith("Rss:", StringComparison.Ordinal))
                return long.Parse(line.Split(':')[1].Replace("kB", "", StringComparison.Ordinal), CultureInfo.InvariantCulture);
        }

        return 0;
    }
}
