using System.Diagnostics;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Tests.Configuration;

/// <summary>Names of files that lead to pipes and devices, which have no end or never begin.</summary>
public sealed class EndlessFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("endless").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void A_pipe_that_nobody_writes_to_is_told_at_once()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux() || OperatingSystem.IsMacOS(), "There are no named pipes in the file system.");
        var pipe = Path.Combine(_folder, "pipe");
        using (var make = Process.Start("mkfifo", [pipe])) make.WaitForExit();
        var link = Path.Combine(_folder, "link");
        File.CreateSymbolicLink(link, pipe);
        foreach (var path in new[] { pipe, link })
        {
            Assert.False(new SecretReference(true, path).TryResolve(out _, out var reason));
            Assert.Contains("no ordinary file", reason!.Text, StringComparison.Ordinal);
            Assert.Contains("no ordinary file", ForecastFile.Read(path, null, default).Reason, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_device_without_end_is_told_at_once()
    {
        Assert.SkipUnless(File.Exists("/dev/zero"), "There is no /dev/zero.");
        Assert.False(new SecretReference(true, "/dev/zero").TryResolve(out _, out _));
        Assert.Contains("no ordinary file", ForecastFile.Read("/dev/zero", null, default).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_secret_behind_a_link_is_read()
    {
        var file = Path.Combine(_folder, "secret");
        File.WriteAllText(file, "hush\n");
        File.CreateSymbolicLink(file + "-link", file);
        Assert.True(new SecretReference(true, file + "-link").TryResolve(out var secret, out _));
        Assert.Equal("hush", secret);
    }
}
