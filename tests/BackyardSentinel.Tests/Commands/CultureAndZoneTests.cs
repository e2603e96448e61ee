using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests.Commands;

/// <summary>The program as a process of its own, on machines that speak and live elsewhere.</summary>
public sealed class CultureAndZoneTests : IDisposable
{
    /// <summary>Machines that write numbers, dates and names of months otherwise, and whose clocks go otherwise.</summary>
    internal static readonly (string Culture, string Zone)[] Places =
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

    /// <summary>One value of the log is no number: done, with findings.</summary>
    private Task<byte[]> Replay(string culture, string zone, string? format)
    {
        string[] asked = ["replay", "log.csv", "--period", "1h", "--step", "1h", "--zone", "Europe/Madrid"];
        return ForeignRun.OutputAsync(culture, zone, ExitCode.Findings, format is null ? asked : [.. asked, format], _folder.Root);
    }
}
