using BackyardSentinel.Tests;

namespace BackyardSentinel.Proofs;

public sealed class DemoTests
{
    [Fact]
    public async Task The_demo_tells_a_whole_season_and_ends_cleanly_when_asked()
    {
        using var demo = ServiceProcess.Start("run", "--demo", "--demo-seconds", "5");
        await Until.TrueAsync(
            () => demo.Output.Contains("The season is over", StringComparison.Ordinal),
            "the season is over",
            seconds: 300);
        var exitCode = await demo.TerminateAsync(TestContext.Current.CancellationToken);

        var story = demo.Output;
        Assert.Equal(0, exitCode);
        // On a machine that is too busy for its own broker the link may be late; it says so and comes back.
        Assert.All(
            demo.Errors.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries),
            line => Assert.Contains("The broker at 127.0.0.1:", line, StringComparison.Ordinal));
        Assert.Contains("12 wet spells, 4 infection windows", story, StringComparison.Ordinal);
        foreach (var level in new[] { "▁ building", "▃ possible", "▅ likely", "█ severe", "? unknown", "· clear" })
            Assert.Contains(level, story, StringComparison.Ordinal);
        Assert.Contains("too short to infect", story, StringComparison.Ordinal);
        // The year around the windows: stages, cover, messages, scouting, picking, the end of the season.
        foreach (
            var word in new[]
            {
                "leaf buds begin to swell (BBCH 01, seen by the grower)",
                "green leaf tips show",
                "cover on the tree: fresh",
                "its spray cover is spent",
                "message: \"Curl weather severe: old-peach",
                "message: \"4 sensors silent",
                "time to look at 20 shoots",
                "curl on 3 of 20 shoots",
                "no more infection this season",
                "nothing on the tree can be infected now",
            })
            Assert.Contains(word, story, StringComparison.Ordinal);
        Assert.Contains("too warm to infect", story, StringComparison.Ordinal);
        // The readme's sample is what the demo says; only when a message goes out differs from run to run.
        Assert.All(Sample(), line => Assert.Contains(line, story, StringComparison.Ordinal));
    }

    private static IEnumerable<string> Sample() =>
        File.ReadLines(Checkout.Path("README.md"))
            .SkipWhile(line => line != "March 2027")
            .TakeWhile(line => line != "```")
            .Where(line => !line.Contains("message:", StringComparison.Ordinal));
}
