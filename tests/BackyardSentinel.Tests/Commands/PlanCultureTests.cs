using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests.Commands;

/// <summary>The plan on machines that speak and live elsewhere.</summary>
public sealed class PlanCultureTests
{
    [Theory]
    [InlineData("--json")]
    [InlineData("--ics -")]
    [InlineData("")]
    public async Task The_machines_language_and_zone_change_no_byte_of_the_plan(string format)
    {
        var outputs = new List<byte[]>();
        foreach (var (culture, zone) in CultureAndZoneTests.Places)
            outputs.Add(await Plan(culture, zone, format));

        Assert.True(outputs[0].Length > 200);
        Assert.All(outputs, output => Assert.Equal(outputs[0], output));
    }

    private static Task<byte[]> Plan(string culture, string zone, string format) => ForeignRun.OutputAsync(
        culture, zone, ExitCode.Done,
        ["plan", .. PlanRun.Arguments("peach-in-january"), .. format.Split(' ', StringSplitOptions.RemoveEmptyEntries)]);
}
