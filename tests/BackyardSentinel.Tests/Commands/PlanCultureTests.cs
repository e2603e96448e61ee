using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests.Commands;

/// <summary>The plan on machines that speak and live elsewhere.</summary>
public sealed class PlanCultureTests
{
    private static readonly (string Culture, string Zone)[] Places =
    [
        ("C", "UTC"),
        ("de_DE.UTF-8", "Pacific/Auckland"),
        ("tr_TR.UTF-8", "America/St_Johns"),
        ("ar_SA.UTF-8", "UTC"),
        ("hi_IN.UTF-8", "Asia/Kathmandu"),
    ];

    [Theory]
    [InlineData("--json")]
    [InlineData("--ics -")]
    [InlineData("")]
    public async Task The_machines_language_and_zone_change_no_byte_of_the_plan(string format)
    {
        var outputs = new List<byte[]>();
        foreach (var (culture, zone) in Places)
            outputs.Add(await Plan(culture, zone, format));

        Assert.True(outputs[0].Length > 200);
        Assert.All(outputs, output => Assert.Equal(outputs[0], output));
    }

    private static Task<byte[]> Plan(string culture, string zone, string format) => ForeignRun.OutputAsync(
        culture, zone, ExitCode.Done,
        ["plan", .. PlanRun.Arguments("peach-in-january"), .. format.Split(' ', StringSplitOptions.RemoveEmptyEntries)]);
}
