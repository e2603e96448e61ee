using System.Diagnostics;

namespace BackyardSentinel.Tests.Commands;

/// <summary>The program as a process of its own, on machines that speak and live elsewhere.</summary>
public sealed class CultureAndZoneTests : IDisposable
{
    private static readonly (string Culture, string Zone)[] Places =
    [
        ("C", "UTC"),
        ("de_DE.UTF-8", "Pacific/Auckland"),
        ("tr_TR.UTF-8", "America/St_Johns"),
        ("ar_SA.UTF-8", "UTC"),
        ("hi_IN.UTF-8", "Asia/Kathmandu"),
    ];

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("--json")]
    [InlineData("--csv")]
    [InlineData(null)]
    public async Task The_machines_language_and_zone_change_no_byte_of_the_output(string? format)
    {
        _folder.File(LogFolder.Text(wet: 30) + "2027-02-03T00:00:00Z,warm,95,0\n2027-02-03 01:00,9.25,95,0.25\n");

        var outputs = new List<byte[]>();
        foreach (var (culture, zone) in Places)
            outputs.Add(await Replay(culture, zone, format));

        Assert.True(outputs[0].Length > 200);
        Assert.All(outputs, output => Assert.Equal(outputs[0], output));
    }

    private async Task<byte[]> Replay(string culture, string zone, string? format)
    {
        var program = Path.Combine(AppContext.BaseDirectory, "backyard-sentinel.dll");
        var start = new ProcessStartInfo(Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet")
        {
            WorkingDirectory = _folder.Root,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (var argument in new[] { program, "replay", "log.csv", "--period", "1h", "--step", "1h", "--zone", "Europe/Madrid" })
            start.ArgumentList.Add(argument);
        if (format is not null)
            start.ArgumentList.Add(format);
        (start.Environment["LANG"], start.Environment["LC_ALL"], start.Environment["TZ"]) = (culture, culture, zone);

        using var process = Process.Start(start)!;
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        using var output = new MemoryStream();
        await process.StandardOutput.BaseStream.CopyToAsync(output, TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);

        // One value of the log is no number: done, with findings.
        Assert.True(process.ExitCode == BackyardSentinel.Commands.ExitCode.Findings, $"{process.ExitCode}: {await errors}");
        return output.ToArray();
    }
}
