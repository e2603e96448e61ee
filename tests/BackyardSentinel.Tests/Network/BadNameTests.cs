using System.Diagnostics;
using BackyardSentinel.Tests;

namespace BackyardSentinel.Network;

/// <summary>
/// Names that cannot be looked up for a while, or only slowly, by the system's own resolver: in a process of its own, in whose eyes
/// /etc/resolv.conf names our server. By made time; by the computer's for as many minutes as BACKYARD_SENTINEL_NETWORK says.
/// </summary>
public sealed class BadNameTests
{
    private const string Inside = "SENTINEL_OWN_NAMES";

    /// <summary>One that no other run of the tests takes.</summary>
    private static readonly string OwnAddress = $"127.77.{Environment.ProcessId >> 8 & 255}.{Environment.ProcessId & 255 | 1}";

    [Fact]
    public async Task After_a_fault_of_the_name_server_all_is_right_soon()
    {
        if (Environment.GetEnvironmentVariable(Inside) is { } address)
            await TryAllAsync(address);
        else
            await ByItselfAsync();
    }

    private static async Task TryAllAsync(string address)
    {
        using var server = new NameServer(address);
        var minutes = LongRun.Asked("NETWORK");
        LineFault[] faults = [LineFault.Refused, LineFault.BlackHole, LineFault.Latency];
        var cells = from end in Enum.GetValues<LineEnd>() from fault in faults select (end, fault);
        await Task.WhenAll(cells.Select(async one =>
        {
            var time = minutes is null ? CellTime.Made(one.end) : new CellTime(null);
            var cell = await LineCell.RunAsync(one.end, one.fault, time, minutes ?? 10, server.New(time.Time));
            Console.WriteLine($"name of {one.end} {one.fault}: {cell}");
            foreach (var words in cell.Warnings) Console.WriteLine($"    {words}");
            Assert.InRange(cell.Healed, TimeSpan.Zero, minutes is null ? LineCell.MadeBound : LineCell.Bound);
            Assert.Equal(cell.Warnings.Count > 0, cell.WellAgain > 0);
            if (one.fault != LineFault.Latency)
                Assert.True(cell.Broken && cell.Warnings.Count > 0, $"{one} has stopped it");
        }));
    }

    private static async Task ByItselfAsync()
    {
        Assert.SkipUnless(await RunAsync("true") is (0, _), "A file system of its own needs unshare, and the right to it.");
        var settings = Path.GetTempFileName();
        await File.WriteAllTextAsync(settings, $"nameserver {OwnAddress}\noptions timeout:1 attempts:1\n");
        var (exit, said) = await RunAsync(
            $"mount --bind {settings} /etc/resolv.conf && exec {Environment.ProcessPath} -noColor -noLogo "
                + $"-class {typeof(BadNameTests).FullName}");
        File.Delete(settings);
        Assert.True(exit == 0, said);
        foreach (var line in said.Split('\n').Where(line => line.StartsWith("name of", StringComparison.Ordinal))) LongRun.Tell(line);
    }

    private static async Task<(int Exit, string Said)> RunAsync(string words)
    {
        var start = new ProcessStartInfo("unshare", ["--mount", "sh", "-c", words])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment[Inside] = OwnAddress;
        try
        {
            using var process = Process.Start(start)!;
            var errors = process.StandardError.ReadToEndAsync();
            var said = await process.StandardOutput.ReadToEndAsync();
            await process.WaitForExitAsync();
            return (process.ExitCode, said + await errors);
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return (-1, "");
        }
    }
}
