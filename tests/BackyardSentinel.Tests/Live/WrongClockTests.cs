using System.Collections.Concurrent;
using BackyardSentinel.Hosting;
using BackyardSentinel.Sensors;
using Serilog.Core;

namespace BackyardSentinel.Live;

/// <summary>A clock that was wrong and is right again leaves nothing standing still and nothing dated in the future.</summary>
public sealed class WrongClockTests : IDisposable
{
    private static readonly DateTimeOffset Right = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("wrong-clock").FullName;
    private readonly SteppedTime _time = new(Right);
    private readonly ConcurrentDictionary<string, string> _published = [];
    private Task? _sleep;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task A_run_in_another_year_is_forgotten_once_the_clock_is_right()
    {
        await RunAsync("one.db", hours: 2);
        _time.Offset = TimeSpan.FromDays(457);
        await RunAsync("one.db", hours: 3);
        _time.Offset = TimeSpan.Zero;
        await RunAsync("one.db", hours: 3);
        AssertNothingAhead("one.db");
        using var store = SentinelStore.Open(Path.Combine(_folder, "one.db"));
        Assert.Contains(store.Events(), one => one.Key.Contains("spell-started", StringComparison.Ordinal));
        Assert.Contains("2027-03-01T1", _published["sentinel/yard/weather"], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_damaged_stamp_of_arrival_freezes_nothing()
    {
        await RunAsync("two.db", hours: 3);
        Execute(
            "two.db",
            "update readings set lag_us = lag_us + 1104537600000000 where time_ms = (select time_ms from readings limit 1 offset 20)");
        await RunAsync("two.db", hours: 2);
        AssertNothingAhead("two.db");
        using var store = SentinelStore.Open(Path.Combine(_folder, "two.db"));
        Assert.Equal((5 * 6 * 3) - 3, store.ReadSeason().Count());
    }

    [Theory]
    [InlineData("update readings set time_ms = 9000000000000000000 where time_ms = (select max(time_ms) from readings)")]
    [InlineData("update readings set lag_us = -9000000000000000000 where time_ms = (select max(time_ms) from readings)")]
    [InlineData("update readings set lag_us = 9000000000000000000 where time_ms = (select max(time_ms) from readings)")]
    [InlineData("insert or replace into totals values(3, 5, 9000000000000000000, 0)")]
    [InlineData("insert into answers values(9000000000000000000, 'yard/x', 'seen', 9000000000000000000, 0)")]
    public async Task A_damaged_time_stops_no_start(string damage)
    {
        await RunAsync("three.db", hours: 1);
        Execute("three.db", damage);
        await RunAsync("three.db", hours: 1);
        using var store = SentinelStore.Open(Path.Combine(_folder, "three.db"));
        Assert.True(store.ReadSeason().Count() >= 6 * 6 - 3);
    }

    [Fact]
    public async Task A_moment_that_the_clock_shows_twice_keeps_what_came_at_both()
    {
        await RunAsync("four.db", hours: 1);
        _time.Offset = -GardenClock.Tolerance;
        await RunAsync("four.db", hours: 1);
        _time.Offset = 2 * -GardenClock.Tolerance;
        await RunAsync("four.db", hours: 1);
        using var store = SentinelStore.Open(Path.Combine(_folder, "four.db"));
        Assert.Equal(3 * 6 * 3, store.ReadSeason().Count());
        var rain = store.ReadSeason().Where(row => row.Value == 0.4).ToList();
        Assert.Equal(3 * 6, rain.Count);
        // Each lies in the first millisecond that is free.
        Assert.Equal([0, 1], rain.Select(row => row.TimeMs % 1000).Distinct().Order());
    }

    private async Task RunAsync(string file, int hours)
    {
        var path = Path.Combine(_folder, file);
        SentinelStore.Open(path).Dispose();
        using var answers = AnswerBook.Open(path);
        using var stop = new CancellationTokenSource();
        using var judged = JudgedGarden.Of(path, null, _time, _ => { }, Judge);
        var loop = judged.Loop;
        var running = loop.RunAsync(stop.Token);
        for (var i = 0; i < hours * 6; i++)
        {
            foreach (var (topic, value) in new (string, string)[] { ("t", "8.5"), ("h", "96"), ("r", "0.4") })
                await TakenAsync(loop, topic, value);
            _time.Advance(TimeSpan.FromMinutes(10));
        }

        await stop.CancelAsync();
        await running;

        JudgedGarden Judge(SentinelStore store)
        {
            var map = new PayloadMap(Station.OneTopicEach);
            return new(
                store,
                map,
                null,
                new SentinelLoop(
                    store, map, [Station.Yard], message => _published[message.Topic] = Encoding.UTF8.GetString(message.Payload.Span),
                    new LoopOptions { CommitWindow = TimeSpan.Zero }, _time, Logger.None, parts: new LoopParts { Answers = answers }));
        }
    }

    /// <summary>Waits until a message is on disk; a leap that the loop sleeps out passes at once.</summary>
    private async Task TakenAsync(SentinelLoop loop, string topic, string value)
    {
        var taken = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        await loop.OfferAsync(
            new ArrivedMessage(topic, Encoding.UTF8.GetBytes(value), acknowledge: _ =>
            {
                taken.SetResult();
                return Task.CompletedTask;
            }),
            TestContext.Current.CancellationToken);
        while (true)
        {
            _sleep ??= _time.Sleeps.WaitAsync(TestContext.Current.CancellationToken);
            if (await Task.WhenAny(taken.Task, _sleep) == taken.Task) return;
            _sleep = null;
            _time.Advance(TimeSpan.FromSeconds(1));
        }
    }

    private void AssertNothingAhead(string file)
    {
        var limit = _time.GetUtcNow().AddMinutes(10).ToUnixTimeMilliseconds();
        using var store = SentinelStore.Open(Path.Combine(_folder, file));
        Assert.DoesNotContain(store.ReadSeason(), row => row.TimeMs > limit || row.ReceivedUs > limit * 1000);
        Assert.DoesNotContain(store.Events(), one => one.AtMs > limit);
    }

    private void Execute(string file, string sql) => SampleStore.Tamper(Path.Combine(_folder, file), sql);
}
