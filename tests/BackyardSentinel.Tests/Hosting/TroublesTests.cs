using BackyardSentinel.Alerting;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using Serilog.Core;

namespace BackyardSentinel.Hosting;

/// <summary>Troubles of the installation as a state: they stand while they stand, whatever the phone is told.</summary>
public sealed class TroublesTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-troubles").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    /// <summary>Homie convention 5, "$alert": the topic is set while the trouble stands and deleted when it is resolved.</summary>
    [Fact]
    public async Task Each_of_the_six_kinds_stands_on_the_Homie_device_as_a_sentence_and_ends_with_the_trouble()
    {
        var (garden, problems) = GardenFileReader.ReadText("g.yaml", """
            sites:
              - id: south-wall
                series:
                  - {quantity: temperature, topic: y/t}
                  - {quantity: humidity, topic: y/h}
                  - {quantity: rain, topic: y/r}
                plantings:
                  - {id: p1, kind: peach}
            """);
        Assert.True(garden is not null, string.Join('\n', problems.Select(one => one.Message)));
        garden = garden with { Store = new StoreSettings { Path = Path.Combine(_folder, "s.db") } };
        using var store = SentinelStore.Open(garden.Store.Path);
        await using var broker = await EmbeddedBroker.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port, "homie/5/ren-1/$alert/#");
        var options = new BrokerOptions { Port = broker.Port, ClientId = "ren-1" };
        using var services = GardenServices.Open(
            garden,
            options,
            () => throw new InvalidOperationException("nothing is published here"),
            new ServiceOptions(ClockFromReadings: true),
            TimeProvider.System,
            Logger.None);
        using var stop = new CancellationTokenSource();
        var running = services.RunAsync(() => true, stop.Token);

        Occasion[] all =
        [
            new SensorsSilent("south-wall", Now, 3, Now.AddHours(-3)),
            new SensorSilent("south-wall", Now, "south-wall/humidity/y/h", Quantity.Humidity, Now.AddHours(-3)),
            new SensorStuck("south-wall", Now, "south-wall/temperature/y/t", Quantity.Temperature, 21.5, Now.AddHours(-12)),
            new DiskLow(Now, 480),
            new ClockWrong(Now, TimeSpan.FromDays(21)),
            new AlertPathDead(Now, Now.AddDays(-1)),
        ];
        services.Parts.OnTroubles!(all);
        await Until.TrueAsync(() => Standing(peer).Count == 6, "all six stand");
        Assert.All(Standing(peer).Values, sentence => Assert.Matches(@"^[^\n]{15,}\.$", sentence));

        services.Parts.OnTroubles!(all[3..4]);
        await Until.TrueAsync(() => Standing(peer).Count == 1, "only one stands");
        Assert.Contains("480 MB", Assert.Single(Standing(peer)).Value, StringComparison.Ordinal);
        services.Parts.OnTroubles!([]);
        await Until.TrueAsync(() => Standing(peer).Count == 0, "none stands");
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task The_loop_tells_each_minute_which_sensors_are_silent_and_no_longer_once_they_speak()
    {
        var time = new FakeTimeProvider(Now.AddSeconds(30));
        Site yard = new() { Id = "yard", Plantings = [new Planting("old-peach")] };
        SeriesMap[] series =
        [
            new() { SiteId = "yard", Quantity = Quantity.Temperature, Topic = "t" },
            new() { SiteId = "yard", Quantity = Quantity.Humidity, Topic = "h" },
        ];
        using var store = SentinelStore.Open(Path.Combine(_folder, "loop.db"));
        IReadOnlyList<string>? standing = null;
        var loop = new SentinelLoop(
            store,
            new PayloadMap(series),
            [yard],
            _ => { },
            new LoopOptions(),
            time,
            Logger.None,
            null,
            new LoopParts { OnTroubles = troubles => standing = [.. troubles.Select(trouble => trouble.Kind)] });
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await Until.TrueAsync(() => standing is { Count: 0 }, "nothing is wrong at first");
        await PassAsync(TimeSpan.FromHours(3.1), ["sensors-silent"]);
        await loop.OfferAsync(new ArrivedMessage("t", Encoding.UTF8.GetBytes("8.5")), TestContext.Current.CancellationToken);
        await PassAsync(TimeSpan.FromMinutes(2), ["sensor-silent"]);
        await loop.OfferAsync(new ArrivedMessage("h", Encoding.UTF8.GetBytes("80")), TestContext.Current.CancellationToken);
        await PassAsync(TimeSpan.FromMinutes(2), []);
        await stop.CancelAsync();
        await running;

        async Task PassAsync(TimeSpan span, string[] kinds)
        {
            time.Advance(span);
            var looks = 0;
            await Until.TrueAsync(
                () =>
                {
                    // A reading that was taken after the minute's look shows at the next one.
                    if (++looks % 50 == 0) time.Advance(TimeSpan.FromMinutes(1));
                    return standing!.SequenceEqual(kinds);
                },
                $"standing: {string.Join(", ", kinds)}");
        }
    }

    private static Dictionary<string, string> Standing(Peer peer) =>
        peer
            .Heard.GroupBy(one => one.Topic)
            .Select(one => (one.Key, one.Last().Payload))
            .Where(one => one.Payload.Length > 0)
            .ToDictionary(one => one.Key, one => one.Payload);
}
