using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Explanations by the program as a process of its own, on machines that speak and live elsewhere.</summary>
public class ExplainCultureTests
{
    [Theory]
    [InlineData("")]
    [InlineData("--json")]
    public async Task The_machines_language_and_zone_change_no_byte(string format)
    {
        // Past on any machine's clock.
        using var garden = ExplainTests.Spring(new ExplainGarden(), 2025);
        var outputs = new List<byte[]>();
        foreach (var (culture, zone) in CultureAndZoneTests.Places)
            outputs.Add(
                await ForeignRun.OutputAsync(
                    culture, zone, ExitCode.Done,
                    [
                        "explain", "--garden", garden.Garden, "--at", "2025-04-12 06:32",
                        .. format.Split(' ', StringSplitOptions.RemoveEmptyEntries),
                    ]));

        Assert.True(outputs[0].Length > 500);
        Assert.All(outputs, output => Assert.Equal(outputs[0], output));
    }
}
