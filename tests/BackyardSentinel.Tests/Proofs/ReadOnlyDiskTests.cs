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
        var garden = GardenOn(disk);
        Assert.SkipUnless((await UnsharedAsync("true")).ExitCode == 0, "Nothing can be mounted for one program on this machine.");

        var (exitCode, errors, _) = await UnsharedAsync(
            $"mount -t tmpfs -o ro none '{disk}' && exec {BuiltProgram.Quoted} run --garden '{garden}'");

        Assert.Equal(2, exitCode);
        Assert.Contains($"The store {disk}/garden.db cannot be written: its disk is read-only.", errors, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", errors, StringComparison.Ordinal);
    }

    /// <summary>A service that was killed has left its last commits in the file beside the store, which then must be read, too.</summary>
    [Fact]
    public async Task A_store_on_such_a_disk_is_read_with_the_commits_that_lie_beside_it()
    {
        var (disk, left) = (Path.Combine(_folder, "disk"), Path.Combine(_folder, "left"));
        Directory.CreateDirectory(disk);
        Directory.CreateDirectory(left);
        var garden = GardenOn(disk);
        var at = DateTimeOffset.UtcNow.AddHours(-3);
        using (var store = SentinelStore.Open(Path.Combine(left, "garden.db")))
        {
            var batch = new StoreBatch();
            var (time, received) = (at.ToUnixTimeMilliseconds(), at.ToUnixTimeMilliseconds() * 1000);
            batch.Readings.Add(new StoredReading(store.SeriesId("yard/temperature/t"), time, 11.5, received));
            store.Commit(batch);
            Assert.True(new FileInfo(Path.Combine(left, "garden.db-wal")).Length > 0);
            foreach (var file in Directory.GetFiles(left))
                File.Copy(file, file + ".left");
        }

        var mounted = $"mount -t tmpfs none '{disk}' && cp '{left}'/garden.db.left '{disk}'/garden.db && "
            + $"cp '{left}'/garden.db-wal.left '{disk}'/garden.db-wal && mount -o remount,ro '{disk}'";
        Assert.SkipUnless((await UnsharedAsync(mounted)).ExitCode == 0, "Nothing can be mounted for one program on this machine.");

        var exported = await UnsharedAsync($"{mounted} && exec {BuiltProgram.Quoted} export readings --garden '{garden}'");
        var looked = await UnsharedAsync(
            $"{mounted} && exec {BuiltProgram.Quoted} backup '{_folder}/copy.db' --dry-run --garden '{garden}'");

        Assert.Equal((0, ""), (exported.ExitCode, exported.Errors));
        Assert.Contains("11.5", exported.Output, StringComparison.Ordinal);
        Assert.Equal((0, ""), (looked.ExitCode, looked.Errors));
        Assert.Contains("1 reading", looked.Output, StringComparison.Ordinal);
    }

    /// <summary>A garden file whose store lies on a disk.</summary>
    private string GardenOn(string disk)
    {
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
        return garden;
    }

    /// <summary>In a place of its own, where what is mounted is nobody else's.</summary>
    private static async Task<(int ExitCode, string Errors, string Output)> UnsharedAsync(string command)
    {
        if (!File.Exists("/usr/bin/unshare"))
            return (-1, "", "");
        var start = new ProcessStartInfo("/usr/bin/unshare", ["-rm", "sh", "-c", command]);
        (start.RedirectStandardError, start.RedirectStandardOutput) = (true, true);
        using var process = Process.Start(start)!;
        var (errors, output) = (process.StandardError.ReadToEndAsync(), process.StandardOutput.ReadToEndAsync());
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (process.ExitCode, await errors, await output);
    }
}
