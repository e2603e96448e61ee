using System.Collections.Concurrent;
using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>What the loop does by the clock: each second, each minute, each hour; and at once where something has come.</summary>
public sealed class LoopScheduleTests : IDisposable
{
    private static readonly DateTimeOffset Start = new(2027, 3, 1, 6, 0, 30, TimeSpan.Zero);

    private readonly string _file = Path.Combine(Directory.CreateTempSubdirectory("loop-schedule-").FullName, "garden.db");
    private readonly FakeTimeProvider _time = new(Start);
    private readonly LogLines _said = new();
    private readonly ConcurrentDictionary<string, string> _published = [];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose()
    {
        _said.Dispose();
        Directory.Delete(Path.GetDirectoryName(_file)!, true);
    }

    private SentinelLoop Loop(SentinelStore store, LoopParts parts) => new(
        store,
        new PayloadMap(Station.OneTopicEach),
        [Station.Yard],
        message => _published[message.Topic] = Encoding.UTF8.GetString(message.Payload.Span),
        new LoopOptions(),
        _time,
        _said.Logger,
        parts: parts);

    /// <summary>Lets time pass, and waits until the loop has turned at that time.</summary>
    private async Task PassAsync(SentinelLoop loop, TimeSpan span)
    {
        _time.Advance(span);
        // The first answer may come from a turn that began before.
        await loop.AskAsync(_ => 0, Ct);
        await loop.AskAsync(_ => 0, Ct);
    }

    [Fact]
    public async Task Each_minute_it_looks_around_and_each_hour_and_after_a_forecast_ahead()
    {
        using var store = SentinelStore.Open(_file);
        var (around, ahead) = (new ConcurrentQueue<DateTimeOffset>(), new ConcurrentQueue<DateTimeOffset>());
        var parts = new LoopParts
        {
            LookAround = now =>
            {
                around.Enqueue(now);
                return [];
            },
            LookAhead = outlook =>
            {
                ahead.Enqueue(outlook.Now);
                return [];
            },
        };
        var loop = Loop(store, parts);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await PassAsync(loop, TimeSpan.Zero);
        for (var minute = 0; minute < 62; minute++)
        {
            await PassAsync(loop, TimeSpan.FromSeconds(29));
            await PassAsync(loop, TimeSpan.FromSeconds(31));
        }

        var first = new DateTimeOffset(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);
        Assert.Equal(Enumerable.Range(0, 63).Select(minute => first.AddMinutes(minute)), around);
        Assert.Equal([first, first.AddHours(1)], ahead);

        parts.Forecasts.Put(new Forecast("invented", _time.GetUtcNow(), [new ForecastHour(first.AddHours(2), 8, 95, 1.5)]));
        await PassAsync(loop, TimeSpan.FromSeconds(1));
        await PassAsync(loop, TimeSpan.FromMinutes(1));
        Assert.Equal([first, first.AddHours(1), first.AddMinutes(63)], ahead);
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task What_the_grower_wrote_is_published_with_the_next_second()
    {
        using var store = SentinelStore.Open(_file);
        using var journal = JournalBook.Open(_file);
        var loop = Loop(store, new LoopParts { Journal = journal });
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await PassAsync(loop, TimeSpan.Zero);
        _published.Clear();
        await PassAsync(loop, TimeSpan.FromSeconds(1));
        Assert.Empty(_published);
        using (var grower = JournalBook.Beside(_file))
            grower.Add(new StageEntry(0, Station.Yard.Id, Station.Yard.Plantings[0].Id, new DateOnly(2027, 2, 25), 9), _time.GetUtcNow());
        await PassAsync(loop, TimeSpan.FromSeconds(1));
        Assert.Contains($"sentinel/{Station.Yard.Id}/{Station.Yard.Plantings[0].Id}/risk", _published.Keys);
        Assert.Single(_said.Lines, line => line == "The journal has changed; the season has been judged again.");
        await PassAsync(loop, TimeSpan.FromSeconds(1));
        Assert.Single(_said.Lines, line => line == "The journal has changed; the season has been judged again.");
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task A_value_that_cannot_be_is_warned_of_with_what_the_grower_can_do()
    {
        using var store = SentinelStore.Open(_file);
        var loop = Loop(store, new LoopParts());
        await loop.OfferAsync(new ArrivedMessage("t", "77"u8.ToArray()), Ct);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);
        Assert.Equal(
            "t: temperature 77.0 cannot be: -60 to 60 °C are taken; is the unit °F? It is kept aside; the command 'refused' lists it.",
            Assert.Single(_said.Lines, line => line.StartsWith("t: ", StringComparison.Ordinal)));
    }
}
