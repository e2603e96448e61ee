using System.Diagnostics;
using BackyardSentinel.Proofs;

namespace BackyardSentinel.Tests.Deploy;

/// <summary>The installed service writes with umask 0007, and members of its group write the journal beside it.</summary>
public sealed class SharedStoreTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("shared-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [InlineData("0007", UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead | UnixFileMode.GroupWrite)]
    [InlineData("0077", UnixFileMode.UserRead | UnixFileMode.UserWrite)]
    public async Task The_store_may_be_written_by_whom_the_umask_lets(string umask, UnixFileMode mode)
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Windows has no umask.");
        var garden = Path.Combine(_folder, "garden.yaml");
        await File.WriteAllTextAsync(garden, "sites:\n  - id: yard\n" + ProofGarden.SeriesAndTree, TestContext.Current.CancellationToken);
        var tree = GardenFileReader.Read(garden).Garden!.Sites[0].Plantings[0].Id;

        using var shell = Process.Start(
            "/bin/sh",
            ["-c", $"umask {umask}; exec {BuiltProgram.Quoted} journal add stage swell --planting {tree} --new --garden '{garden}'"]);
        await shell.WaitForExitAsync(TestContext.Current.CancellationToken);

        Assert.Equal(0, shell.ExitCode);
        if (!OperatingSystem.IsWindows())
            Assert.Equal(mode, File.GetUnixFileMode(Path.Combine(_folder, "data", "sentinel.db")));
    }
}
