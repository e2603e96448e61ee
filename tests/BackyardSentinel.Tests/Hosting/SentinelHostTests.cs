using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using Serilog.Core;

namespace BackyardSentinel.Hosting;

public sealed class SentinelHostTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-host").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task What_a_busy_hour_sends_is_all_stored_and_a_stop_loses_nothing()
    {
        const int count = 10_000;
        const int topics = 50;
        using var broker = await Mosquitto.StartAsync();
        var file = Path.Combine(_folder, "garden.db");
        SeriesMap[] series = [.. Enumerable.Range(0, topics).Select(i => new SeriesMap
        {
            SiteId = "yard", Quantity = Quantity.Temperature, Topic = $"s/{i}", Path = "v", TimePath = "at", Rank = i,
        })];
        using var stop = new CancellationTokenSource();
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/state");
        var running = SentinelHost.RunAsync(
            file,
            [new Site { Id = "yard" }],
            series,
            new BrokerOptions { Port = broker.Port },
            new LoopOptions(),
            TimeProvider.System,
            Logger.None,
            null,
            stop.Token);
        await peer.HearsAsync("sentinel/state", "watching");

        var at = DateTimeOffset.UtcNow.ToUnixTimeMilliseconds() - 86_400_000;
        using (var reader = SentinelStore.Open(file))
        {
            for (var sent = 0; sent < count; sent += 200)
            {
                var from = sent;
                // The broker drops what lies beyond 1000 waiting messages, so the sensors keep below that.
                await Until.TrueAsync(() => reader.ReadSeason().Count() >= from - 600, $"{from} messages sent and stored");
                await Task.WhenAll(
                    Enumerable.Range(from, 200).Select(i => peer.PublishAsync($"s/{i % topics}", $"{{\"v\":{i % 30},\"at\":{at + i}}}")));
            }

            await Until.TrueAsync(() => reader.ReadSeason().Count() >= count - 19, "all but the last batch is stored");
        }

        await stop.CancelAsync();
        await running;
        using var store = SentinelStore.Open(file);
        Assert.Equal(count, store.ReadSeason().Count());
        await peer.HearsAsync("sentinel/state", "stopped");
    }
}
