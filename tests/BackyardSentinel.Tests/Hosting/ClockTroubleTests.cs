using System.Collections.Concurrent;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Hosting;

/// <summary>A wrong clock is told once, stamped with the time that counts, and stands as a trouble until it is set.</summary>
public sealed class ClockTroubleTests : IDisposable
{
    private static readonly DateTimeOffset Right = new(2027, 3, 22, 6, 0, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("clock-trouble").FullName;
    private readonly SteppedTime _time = new(Right);
    private readonly ConcurrentQueue<AlertMessage> _told = [];
    private readonly LogLines _said = new();
    private IReadOnlyList<Occasion> _standing = [];
    private Task? _sleep;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose()
    {
        _said.Dispose();
        Directory.Delete(_folder, true);
    }

    [Fact]
    public async Task A_clock_that_lost_its_time_stands_as_a_trouble_until_it_is_set_and_is_stamped_with_the_time_that_counts()
    {
        await RunAsync(loop => PassAsync(loop, minutes: 3));
        var before = _time.GetUtcNow();
        // A computer without a battery boots in a year in which this program was not written yet.
        _time.Offset = TimeSpan.FromDays(-1096);
        await RunAsync(
            async loop =>
            {
                await PassAsync(loop, minutes: 3);
                var wrong = Assert.Single(_standing.OfType<ClockWrong>());
                Assert.InRange(wrong.OffBy.TotalDays, -1096.1, -1095.9);
                Assert.InRange(wrong.At, before.AddMinutes(-1), _time.GetUtcNow().AddDays(1096));
                var full = Assert.Single(_told, one => one.Kind == "disk-low");
                Assert.True(full.At >= wrong.At, "one clock stamps both");

                // Without a time server for ten minutes more, and right within two minutes of its first word.
                await PassAsync(loop, minutes: 10);
                Assert.Single(_standing.OfType<ClockWrong>());
                Assert.DoesNotContain(_said.Lines, line => line.Contains("believed again", StringComparison.Ordinal));
                _time.Offset = TimeSpan.Zero;
                await PassAsync(loop, minutes: 2);
                Assert.DoesNotContain(_standing, one => one is ClockWrong);
                Assert.Single(_said.Lines, line => line.Contains("it has lost its time", StringComparison.Ordinal));
                Assert.Single(_said.Lines, line => line.Contains("clock is believed again", StringComparison.Ordinal));
            },
            freeMb: 480);
        Assert.Single(_told, one => one.Kind == "clock-wrong");
        Assert.All(_told, one => Assert.True(one.At <= _time.GetUtcNow(), $"{one.Kind} at {one.At:u}"));
    }

    [Fact]
    public async Task A_clock_that_was_ahead_and_is_right_again_leaves_no_trouble_standing()
    {
        await RunAsync(loop => PassAsync(loop, minutes: 3));
        _time.Offset = TimeSpan.FromDays(457);
        await RunAsync(loop => PassAsync(loop, minutes: 3));
        _time.Offset = TimeSpan.Zero;
        await RunAsync(loop => PassAsync(loop, minutes: 3));
        Assert.Empty(_standing);
        Assert.DoesNotContain(_told, one => one.Kind == "clock-wrong");
    }

    /// <summary>A time server over a bad line: each answer is wrong by up to the half of how long it took on its way.</summary>
    [Fact]
    public async Task A_clock_that_is_set_wrong_by_seconds_each_minute_is_no_trouble_and_dates_nothing_ahead()
    {
        var chance = new Random(7);
        await RunAsync(async loop =>
        {
            for (var minute = 0; minute < 30; minute++)
            {
                _time.Offset = TimeSpan.FromSeconds(minute < 20 ? 10 * (chance.NextDouble() - 0.5) : 0);
                await PassAsync(loop, minutes: 1);
            }
        });
        Assert.Empty(_standing);
        Assert.Empty(_told);
        Assert.DoesNotContain(_said.Lines, line => line.Contains("clock", StringComparison.Ordinal));
        using var store = SentinelStore.Open(Path.Combine(_folder, "s.db"));
        Assert.Equal(31, store.ReadSeason().Count());
        Assert.DoesNotContain(store.ReadSeason(), row => row.TimeMs > _time.GetUtcNow().AddSeconds(5).ToUnixTimeMilliseconds());
    }

    /// <summary>A step too small to doubt, just before a deadline, and a clock that is slewed by 500 parts in a million.</summary>
    [Theory]
    [InlineData(90, 0)]
    [InlineData(-90, 0)]
    [InlineData(0, 0.03)]
    [InlineData(0, -0.03)]
    public async Task A_step_of_90_seconds_at_a_deadline_and_a_slew_tell_a_silent_sensor_once_and_never_in_the_future(
        double step, double slewPerMinute)
    {
        await RunAsync(async loop =>
        {
            await TakenAsync(loop, "h", "80");
            for (var minute = 0; minute < 200; minute++)
            {
                // A series that has been silent for three hours is told.
                if (minute == 179) _time.Offset += TimeSpan.FromSeconds(step);
                _time.Offset += TimeSpan.FromSeconds(slewPerMinute);
                await PassAsync(loop, minutes: 1);
                Assert.DoesNotContain(_told, one => one.At > _time.GetUtcNow());
            }
        });
        Assert.Equal("sensor-silent", Assert.Single(_told).Kind);
        Assert.Equal("sensor-silent", Assert.Single(_standing).Kind);
        using var store = SentinelStore.Open(Path.Combine(_folder, "s.db"));
        Assert.DoesNotContain(store.ReadSeason(), row => row.TimeMs > _time.GetUtcNow().ToUnixTimeMilliseconds());
    }

    /// <summary>
    /// The computer, or the virtual machine, stood still for six hours in wet weather: its counter may have stood too, or not. The link
    /// never saw it; what was not heard is unknown all the same.
    /// </summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Six_hours_of_sleep_are_a_gap_in_which_nothing_is_known(bool counterStands)
    {
        await RunAsync(async loop =>
        {
            await WetAsync(loop, minutes: 60);
            var slept = _time.GetUtcNow();
            if (counterStands)
                _time.Offset += TimeSpan.FromHours(6);
            else
                _time.Slept = TimeSpan.FromHours(6);
            var woke = _time.GetUtcNow();
            await WetAsync(loop, minutes: 60);

            // A reading from before stands for fifteen minutes of it at most.
            var recent = await loop.AskAsync(now => now.Watches["yard"].Recent.ToList(), Ct);
            var gap = recent.Where(interval => interval.Start >= slept.AddMinutes(15) && interval.End <= woke).ToList();
            Assert.InRange(gap.Count, 30, 36);
            Assert.All(gap, interval => Assert.Null(interval.HumidityPct));
            Assert.All(gap, interval => Assert.Null(interval.TemperatureC));
            Assert.All(recent.Where(interval => interval.Start >= woke.AddMinutes(10)), interval => Assert.NotNull(interval.HumidityPct));
            Assert.DoesNotContain(_told, one => one.At > _time.GetUtcNow());
        });
        Assert.Empty(_standing);
        OfAnOutageIsTold();
    }

    /// <summary>What nobody listened to did not fall silent: the message says so, and sends nobody to the sensors first.</summary>
    [Fact]
    public async Task Sensors_are_not_blamed_for_hours_in_which_the_service_was_off()
    {
        await RunAsync(loop => WetAsync(loop, minutes: 60));
        _time.Advance(TimeSpan.FromHours(6));
        await RunAsync(loop => WetAsync(loop, minutes: 60));
        Assert.Empty(_standing);
        OfAnOutageIsTold();
    }

    private void OfAnOutageIsTold()
    {
        Assert.Equal(["sensors-silent", "sensors-back"], _told.Select(one => one.Kind));
        Assert.Contains("this service was off, or its broker out of reach", _told.First().Text, StringComparison.Ordinal);
        Assert.DoesNotContain("likely cause", _told.First().Text, StringComparison.Ordinal);
    }

    private async Task WetAsync(SentinelLoop loop, int minutes)
    {
        for (var minute = 0; minute < minutes; minute++)
        {
            await PassAsync(loop, minutes: 1);
            await TakenAsync(loop, "h", "97");
        }
    }

    private async Task RunAsync(Func<SentinelLoop, Task> during, long? freeMb = null)
    {
        using var store = SentinelStore.Open(Path.Combine(_folder, "s.db"));
        var house = new HouseCheck(() => freeMb, null);
        var parts = new LoopParts
        {
            Alerts = new AlertPolicyOptions(),
            Outbox = new AlertOutbox(
                [],
                alert => AlertWords.English(Units.UnitSystem.Metric).Say(alert, _ => TimeZoneInfo.Utc).For(alert),
                null,
                _told.Enqueue),
            LookAround = house.Look,
            OnTroubles = troubles => _standing = [.. troubles],
        };
        var loop = new SentinelLoop(
            store,
            new PayloadMap(Station.OneTopicEach[..2]),
            [Station.Yard],
            _ => { },
            new LoopOptions { CommitWindow = TimeSpan.Zero },
            _time,
            _said.Logger,
            parts: parts);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await TakenAsync(loop);
        await during(loop);
        await stop.CancelAsync();
        await running;
    }

    private async Task PassAsync(SentinelLoop loop, int minutes)
    {
        for (var i = 0; i < minutes; i++)
        {
            _time.Advance(TimeSpan.FromMinutes(1));
            await TakenAsync(loop);
        }
    }

    /// <summary>Waits until a reading is on disk; a leap that the loop sleeps out passes at once.</summary>
    private async Task TakenAsync(SentinelLoop loop, string topic = "t", string value = "8.5")
    {
        var taken = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        await loop.OfferAsync(
            new ArrivedMessage(topic, Encoding.UTF8.GetBytes(value), acknowledge: _ =>
            {
                taken.SetResult();
                return Task.CompletedTask;
            }),
            Ct);
        while (true)
        {
            _sleep ??= _time.Sleeps.WaitAsync(Ct);
            if (await Task.WhenAny(taken.Task, _sleep) == taken.Task) return;
            _sleep = null;
            _time.Advance(TimeSpan.FromSeconds(1));
        }
    }
}
