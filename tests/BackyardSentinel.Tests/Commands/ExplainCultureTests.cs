using System.Diagnostics;
using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Explanations by the program as a process of its own, on machines that speak and live elsewhere.</summary>
public class ExplainCultureTests
{
    [Theory]
    [InlineData(null)]
    [InlineData("--json")]
    public async Task The_machines_language_and_zone_change_no_byte(string? format)
    {
        // Past on any machine's clock.
        using var garden = ExplainTests.Spring(new ExplainGarden(), 2025);
        var home = await Explain(garden, "C", "UTC", format);

        Assert.True(home.Length > 500);
        foreach (
            var (culture, zone) in new[]
            {
                ("de_DE.UTF-8", "Pacific/Auckland"),
                ("tr_TR.UTF-8", "America/St_Johns"),
                ("ar_SA.UTF-8", "Asia/Kolkata"),
            })
            Assert.Equal(home, await Explain(garden, culture, zone, format));
    }

    private static async Task<string> Explain(ExplainGarden garden, string culture, string zone, string? format)
    {
        var start = new ProcessStartInfo(Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet")
        {
            WorkingDirectory = garden.Folder,
            RedirectStandardOutput = true,
            StandardOutputEncoding = System.Text.Encoding.UTF8,
        };
        foreach (
            var argument in new[]
            {
                Path.Combine(AppContext.BaseDirectory, "backyard-sentinel.dll"),
                "explain",
                "--garden",
                garden.Garden,
                "--at",
                "2025-04-12 06:32",
            })
            start.ArgumentList.Add(argument);
        if (format is not null)
            start.ArgumentList.Add(format);
        (start.Environment["LANG"], start.Environment["LC_ALL"], start.Environment["TZ"]) = (culture, culture, zone);
        using var process = Process.Start(start)!;
        var output = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(ExitCode.Done, process.ExitCode);
        return output;
    }
}
