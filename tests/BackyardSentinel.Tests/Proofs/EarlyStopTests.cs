namespace BackyardSentinel.Proofs;

/// <summary>A stop that comes while the service is still starting.</summary>
public sealed class EarlyStopTests
{
    /// <summary>What the runtime leaves to the system when the signal comes before anything of ours runs: 128 and SIGTERM's 15.</summary>
    private const int EndedBySignal = 143;

    [Theory]
    [InlineData("")]
    [InlineData("watching")]
    [InlineData("refuses the connection")]
    public async Task A_stop_while_it_starts_is_no_failure_and_leaves_a_store_that_opens(string line)
    {
        var folder = Directory.CreateTempSubdirectory("sentinel-early-stop-");
        try
        {
            var garden = Path.Combine(folder.FullName, "garden.yaml");
            File.WriteAllText(
                garden,
                """
                name: Tannery Lane
                broker: { port: 1 }
                sites:
                  - id: south-wall
                    series: [{ quantity: temperature, topic: t }, { quantity: humidity, topic: h }]
                    plantings: [{ id: white-peach, kind: peach }]
                """);
            using (var service = ServiceProcess.Start("run", "--garden", garden))
            {
                // Nobody listens on port 1, which it says last.
                await Until.TrueAsync(
                    () => new[] { line, "port 1" }.Any(words => service.Errors.Contains(words, StringComparison.Ordinal)),
                    $"it says {line}");
                var exitCode = await service.TerminateAsync(TestContext.Current.CancellationToken);
                Assert.True(exitCode is 0 or EndedBySignal, $"{exitCode}: {service.Errors}");
                Assert.DoesNotContain("   at ", service.Errors, StringComparison.Ordinal);
            }

            var store = Path.Combine(folder.FullName, "data", "sentinel.db");
            if (File.Exists(store))
                SentinelStore.Open(store).Dispose();
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
