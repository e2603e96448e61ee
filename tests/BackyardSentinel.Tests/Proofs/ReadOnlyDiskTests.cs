using System.Diagnostics;

namespace BackyardSentinel.Proofs;

/// <summary>A disk that may only be read, as a system makes one that fails: a real one, mounted for the program alone.</summary>
public sealed class ReadOnlyDiskTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-read-only-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task A_start_on_a_disk_that_may_only_be_read_ends_in_a_sentence()
    {
        var disk = Directory.CreateDirectory(Path.Combine(_folder, "disk")).FullName;
        var garden = Path.Combine(_folder, "garden.yaml");
        File.WriteAllText(
            garden,
            $$"""
            broker: { port: 1 }
            store: { path: "{{disk}}/garden.db" }
            sites:
              - id: yard
                series: [{ quantity: temperature, topic: t }, { quantity: humidity, topic: h }]
                plantings: [{ id: old-peach, kind: peach }]
            """);
        Assert.SkipUnless((await UnsharedAsync("true")).ExitCode == 0, "Nothing can be mounted for one program on this machine.");

        var (exitCode, errors) = await UnsharedAsync(
            $"mount -t tmpfs -o ro none '{disk}' && exec {BuiltProgram.Quoted} run --garden '{garden}'");

        Assert.Equal(2, exitCode);
        Assert.Contains($"The store {disk}/garden.db cannot be written: its disk is read-only.", errors, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", errors, StringComparison.Ordinal);
    }

    /// <summary>In a place of its own, where what is mounted is nobody else's.</summary>
    private static async Task<(int ExitCode, string Errors)> UnsharedAsync(string command)
    {
        if (!File.Exists("/usr/bin/unshare"))
            return (-1, "");
        var start = new ProcessStartInfo("/usr/bin/unshare", ["-rm", "sh", "-c", command]);
        (start.RedirectStandardError, start.RedirectStandardOutput) = (true, true);
        using var process = Process.Start(start)!;
        var (errors, output) = (process.StandardError.ReadToEndAsync(), process.StandardOutput.ReadToEndAsync());
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        await output;
        return (process.ExitCode, await errors);
    }
}
