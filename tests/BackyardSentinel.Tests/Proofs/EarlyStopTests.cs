namespace BackyardSentinel.Proofs;

/// <summary>A stop that comes while the service is still starting.</summary>
public sealed class EarlyStopTests
{
    /// <summary>What the runtime leaves to the system when the signal comes before anything of ours runs: 128 and SIGTERM's 15.</summary>
    private const int EndedBySignal = 143;

    private const string Garden =
        """
        name: Tannery Lane
        broker: { port: 1 }
        sites:
          - id: south-wall
            series: [{ quantity: temperature, topic: t }, { quantity: humidity, topic: h }]
            plantings: [{ id: white-peach, kind: peach }]
        """;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

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
            File.WriteAllText(garden, Garden);
            using (var service = ServiceProcess.Start("run", "--garden", garden))
            {
                // Nobody listens on port 1, which it says last.
                await SaysAsync(service, line, "port 1");
                await StopsAsync(service);
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

    [Fact]
    public async Task A_stop_while_it_reads_its_season_loses_nothing_of_it()
    {
        const int Rows = 400_000;
        var folder = Directory.CreateTempSubdirectory("sentinel-early-stop-");
        try
        {
            var path = Path.Combine(folder.FullName, "garden.db");
            using (var store = SentinelStore.Open(path))
            {
                int[] series = [store.SeriesId("south-wall/temperature/t"), store.SeriesId("south-wall/humidity/h")];
                var now = DateTimeOffset.UtcNow.ToUnixTimeMilliseconds();
                var batch = new StoreBatch();
                for (var i = 0; i < Rows; i++)
                {
                    var at = now - ((Rows - i) * 60_000L);
                    batch.Readings.Add(new StoredReading(series[i % 2], at, 8 + (i % 2 * 80), at * 1000));
                }

                store.Commit(batch);
            }

            var garden = Path.Combine(folder.FullName, "garden.yaml");
            File.WriteAllText(garden, Garden.Replace("sites:", $"store: {{ path: {path} }}\nsites:", StringComparison.Ordinal));
            // It may be done before the signal comes; then once more.
            for (var (caught, tries) = (false, 0); !caught; tries++)
            {
                Assert.True(tries < 20, "it was never caught reading");
                using var service = ServiceProcess.Start("run", "--garden", garden);
                await SaysAsync(service, "watching", "port 1");
                caught = !service.Errors.Contains("judged again", StringComparison.Ordinal);
                await StopsAsync(service);
            }

            using var read = SentinelStore.Open(path);
            Assert.Equal(Rows, read.ReadSeason().Count());
            Assert.Empty(read.Faults());
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    // Not by Ctrl-C: where the tests run behind a shell, the system has it ignored, by what they start too.
    [Fact]
    public async Task The_second_signal_ends_it_at_once_where_the_first_has_to_wait_for_a_broker_that_hangs()
    {
        using var broker = await Mosquitto.StartAsync();
        var folder = Directory.CreateTempSubdirectory("sentinel-early-stop-");
        try
        {
            var garden = Path.Combine(folder.FullName, "garden.yaml");
            File.WriteAllText(garden, Garden.Replace("port: 1", $"port: {broker.Port}, homie: false", StringComparison.Ordinal));
            using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/state");
            using var service = ServiceProcess.Start("run", "--garden", garden);
            await peer.HearsAsync("sentinel/state", "watching");
            broker.Pause();
            var ended = service.TerminateAsync(Ct);
            // Signals that come too close to each other are one.
            for (var more = 0; more < 100 && await Task.WhenAny(ended, Task.Delay(200, Ct)) != ended; more++)
                _ = service.TerminateAsync(Ct);
            Assert.True(ended.IsCompleted, "it ends");
            Assert.Equal(EndedBySignal, await ended);
            SentinelStore.Open(Path.Combine(folder.FullName, "data", "sentinel.db")).Dispose();
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static Task SaysAsync(ServiceProcess service, params string[] any) => Until.TrueAsync(
        () => any.Any(words => service.Errors.Contains(words, StringComparison.Ordinal)), $"it says {any[0]}");

    private static async Task StopsAsync(ServiceProcess service)
    {
        var exitCode = await service.TerminateAsync(Ct);
        Assert.True(exitCode is 0 or EndedBySignal, $"{exitCode}: {service.Errors}");
        Assert.DoesNotContain("   at ", service.Errors, StringComparison.Ordinal);
    }
}
