using BackyardSentinel.Live;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Hosting;

/// <summary>
/// Plain amounts of rain, which no time and no total tells apart, through power cuts of a broker of today and through crashes of ours.
/// </summary>
public sealed class PowerCutTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-power").FullName;
    private readonly LogLines _log = new();

    private string File => Path.Combine(_folder, "garden.db");

    public void Dispose()
    {
        _log.Dispose();
        Directory.Delete(_folder, true);
    }

    /// <summary>The service with its store, from its start to its end.</summary>
    private sealed class Service : IAsyncDisposable
    {
        private readonly CancellationTokenSource _stop = new();
        private readonly Task _run;

        public Service(string file, int port, LogLines log) =>
            _run = SentinelHost.RunAsync(
                file,
                [new Site { Id = "yard" }],
                [
                    new SeriesMap
                    {
                        SiteId = "yard",
                        Quantity = Quantity.Rain,
                        Topic = "yard/rain",
                    },
                    new SeriesMap
                    {
                        SiteId = "yard",
                        Quantity = Quantity.Temperature,
                        Topic = "yard/t",
                    },
                ],
                new BrokerOptions
                {
                    Port = port,
                    ClientId = "sentinel-in-the-dark",
                    WillDelaySeconds = 0,
                },
                new LoopOptions { MaxUnacknowledged = 1 },
                TimeProvider.System,
                log.Logger,
                null,
                _stop.Token);

        public async ValueTask DisposeAsync()
        {
            await _stop.CancelAsync();
            await _run;
            _stop.Dispose();
        }
    }

    private double Rain(out int amounts)
    {
        using var store = SentinelStore.Open(File);
        var rows = store.ReadSeason().Where(row => store.SeriesNames[row.Series].Contains("/rain/", StringComparison.Ordinal)).ToList();
        amounts = rows.Count;
        return Math.Round(rows.Sum(row => row.Value), 6);
    }

    private Task RainsAsync(double mm) => Until.TrueAsync(() => Rain(out _) >= mm, $"{mm} mm", 30);

    private Task ConnectedAsync(int times) =>
        Until.TrueAsync(
            () => _log.Lines.Count(line => line.StartsWith("Connected to", StringComparison.Ordinal)) >= times,
            $"{times} connections",
            30);

    private Task ToldAsync(string part) =>
        Until.TrueAsync(() => _log.Lines.Any(line => line.Contains(part, StringComparison.Ordinal)), part, 30);

    [Fact]
    public async Task A_broker_that_lost_power_after_its_queue_was_fetched_brings_no_rain_twice_and_what_is_new_counts()
    {
        using var broker = await Mosquitto.StartKeepingAsync();
        await using (var known = new Service(File, broker.Port, _log)) await ConnectedAsync(1);

        using (var sensor = await Peer.ConnectAsync(broker.Port))
        {
            for (var i = 0; i < 100; i++) await sensor.PublishAsync("yard/rain", "0.2");
            await broker.SaveAsync();
            await using var service = new Service(File, broker.Port, _log);
            await RainsAsync(20);

            await broker.LosePowerAsync();
            await ToldAsync("100 messages that were safe already came from the broker again");
            Assert.Equal(20, Rain(out var amounts));
            Assert.Equal(100, amounts);

            // The broker counts on from what it had saved: these have the identifiers of nothing that waited.
            using var again = await Peer.ConnectAsync(broker.Port);
            for (var i = 0; i < 5; i++) await again.PublishAsync("yard/rain", "0.2");
            await RainsAsync(21);
        }

        await broker.LosePowerAsync();
        await using var restarted = new Service(File, broker.Port, _log);
        await Until.TrueAsync(
            () => _log.Lines.Count(line => line.Contains("came from the broker again", StringComparison.Ordinal)) == 2,
            "told again",
            30);
        Assert.Equal(21, Rain(out _));
    }

    [Fact]
    public async Task Tips_that_wait_at_a_broker_which_keeps_its_queue_all_count()
    {
        using var broker = await Mosquitto.StartKeepingAsync();
        using var sensor = await Peer.ConnectAsync(broker.Port);
        for (var outage = 1; outage <= 3; outage++)
        {
            await using (var service = new Service(File, broker.Port, _log))
            {
                await ConnectedAsync(outage);
                await RainsAsync(2 * (outage - 1));
            }

            for (var i = 0; i < 10; i++) await sensor.PublishAsync("yard/rain", "0.2");
        }

        await using var last = new Service(File, broker.Port, _log);
        await RainsAsync(6);
        Assert.Equal(6, Rain(out var amounts));
        Assert.Equal(30, amounts);
        Assert.DoesNotContain(_log.Lines, line => line.Contains("safe already", StringComparison.Ordinal));
    }

    [Fact]
    public async Task What_is_written_down_but_never_acknowledged_counts_once()
    {
        using var broker = await Mosquitto.StartAsync();
        using var sensor = await Peer.ConnectAsync(broker.Port);
        const int puback = 4;
        using (var lost = new Gag(broker.Port, puback, fromClient: true))
        {
            await using var service = new Service(File, lost.Port, _log);
            await ConnectedAsync(1);
            for (var i = 0; i < 5; i++) await sensor.PublishAsync("yard/rain", "0.2");
            await RainsAsync(1);
        }

        await using var restarted = new Service(File, broker.Port, _log);
        await ToldAsync("5 messages that were safe already came from the broker again");
        for (var i = 0; i < 5; i++) await sensor.PublishAsync("yard/rain", "0.2");
        await RainsAsync(2);
        Assert.Equal(2, Rain(out var amounts));
        Assert.Equal(10, amounts);
    }
}
