using BackyardSentinel.Live;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Influx;

/// <summary>
/// An invented garden whose store has readings of cool weeks with a rainy day each third day, and what follows it to a server.
/// </summary>
internal sealed class WetWeeks : IDisposable
{
    public static readonly DateTimeOffset Begin = new(2025, 3, 1, 0, 0, 0, TimeSpan.Zero);
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-influx").FullName;
    private readonly SentinelStore _store;
    private readonly long[] _lastUs = [0];

    public WetWeeks()
    {
        Garden = new GardenFile
        {
            Store = new StoreSettings { Path = Path.Combine(_folder, "sentinel.db") },
            Sites = [new Site { Id = "yard", Plantings = [new Planting("old-peach"), new Planting("late, peach")] }],
            Series =
            [
                .. new[] { Quantity.Temperature, Quantity.Humidity, Quantity.Rain }.Select(quantity =>
                    new SeriesMap { SiteId = "yard", Quantity = quantity, Topic = "shed, north=1 side/" + quantity }),
            ],
        };
        _store = SentinelStore.Open(Garden.Store.Path);
        foreach (var series in Garden.Series)
            _store.SeriesId(series.Name);
    }

    public GardenFile Garden { get; }

    public SentinelStore Store => _store;

    public ForwardBook Book() => ForwardBook.Open(Garden.Store.Path);

    /// <summary>Stores the readings of some hours, one of each series each five minutes, as they come.</summary>
    public void Measure(double fromHour, double toHour, Func<DateTimeOffset, bool>? leaveOut = null)
    {
        var batch = new StoreBatch();
        for (var at = Begin.AddHours(fromHour); at < Begin.AddHours(toHour); at += TimeSpan.FromMinutes(5))
        {
            var wet = (at - Begin).Days % 3 == 1;
            if (leaveOut?.Invoke(at) == true)
                continue;
            Add(batch, Quantity.Temperature, at, 9.5 + (at.Minute * 0.01), at);
            Add(batch, Quantity.Humidity, at, wet ? 98 : 61, at);
            Add(batch, Quantity.Rain, at, wet ? 0.2 : 0, at);
        }

        _store.Commit(batch);
    }

    /// <summary>Stores one reading that came when it did.</summary>
    public void Measure(Quantity quantity, DateTimeOffset time, double value, DateTimeOffset received)
    {
        var batch = new StoreBatch();
        Add(batch, quantity, time, value, received);
        _store.Commit(batch);
    }

    /// <summary>A forwarder as the service makes it.</summary>
    public InfluxForwarder Forwarder(ForwardBook book, InfluxServer server, TimeProvider time, Serilog.ILogger log) =>
        new(
            "target",
            new SeasonFollower(Garden, book),
            book,
            new InfluxLines(Enum.GetValues<ForwardedKind>()),
            new InfluxSender(server, "http://influx.example, bucket weather", book, time, log),
            time,
            log);

    public void Dispose()
    {
        _store.Dispose();
        Directory.Delete(_folder, true);
    }

    private void Add(StoreBatch batch, Quantity quantity, DateTimeOffset time, double value, DateTimeOffset received)
    {
        _lastUs[0] = Math.Max(_lastUs[0] + 1, (received - DateTimeOffset.UnixEpoch).Ticks / 10);
        batch.Readings.Add(
            new StoredReading(
                _store.SeriesId(Garden.Series.Single(series => series.Quantity == quantity).Name),
                time.ToUnixTimeMilliseconds(),
                value,
                _lastUs[0]));
    }
}
