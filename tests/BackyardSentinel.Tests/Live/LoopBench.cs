using System.Collections.Concurrent;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Live;

/// <summary>A loop over one tree and three series, with what it acknowledges, says and publishes.</summary>
public abstract class LoopBench : IDisposable
{
    protected static readonly Site Yard = new() { Id = "yard", Plantings = [new Planting("old-peach")] };

    protected static readonly SeriesMap[] Series =
    [
        new() { SiteId = "yard", Quantity = Quantity.Temperature, Topic = "t", Path = "v", TimePath = "at" },
        new() { SiteId = "yard", Quantity = Quantity.Humidity, Topic = "h" },
        new() { SiteId = "yard", Quantity = Quantity.Rain, Topic = "r", RainIsTotal = true },
    ];

    protected string Folder { get; } = Directory.CreateTempSubdirectory("sentinel-loop").FullName;
    protected FakeTimeProvider Time { get; } = new(new DateTimeOffset(2027, 3, 1, 6, 0, 30, TimeSpan.Zero));
    protected ConcurrentQueue<string> Acknowledged { get; } = [];
    private protected LogLines Said { get; } = new();
    protected ConcurrentDictionary<string, string> Published { get; } = [];

    protected static CancellationToken Ct => TestContext.Current.CancellationToken;

    protected string File => Path.Combine(Folder, "garden.db");

    public void Dispose()
    {
        Said.Dispose();
        Directory.Delete(Folder, true);
        GC.SuppressFinalize(this);
    }

    protected SentinelLoop Loop(SentinelStore store, LoopOptions? options = null, LoopParts? parts = null) =>
        new(
            store,
            new PayloadMap(Series, options?.ClockFromReadings ?? false),
            [Yard],
            message => Published[message.Topic] = Encoding.UTF8.GetString(message.Payload.Span),
            options ?? new LoopOptions(),
            Time,
            Said.Logger,
            parts: parts);

    protected ArrivedMessage Message(string topic, string payload) => new(topic, Encoding.UTF8.GetBytes(payload), acknowledge: _ =>
    {
        Acknowledged.Enqueue(payload);
        return Task.CompletedTask;
    });

    protected async Task RunThrough(SentinelLoop loop, params (string Topic, string Payload)[] messages)
    {
        foreach (var (topic, payload) in messages) await loop.OfferAsync(Message(topic, payload), Ct);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);
    }
}
