using System.Collections.Concurrent;
using System.Text.Json;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Live;

// What becomes of a message, and when it is acknowledged.
public sealed class SentinelLoopTests : LoopBench
{
    /// <summary>A thousand messages may wait, but not a thousand of the largest kind: whoever offers one more waits.</summary>
    [Fact]
    public async Task A_gauge_whose_scale_was_changed_counts_from_the_next_total_on()
    {
        using var store = SentinelStore.Open(File);
        await RunThrough(Gauge(0.2), ("r", "400"));
        Time.Advance(TimeSpan.FromMinutes(10));
        await RunThrough(Gauge(0.2), ("r", "401"));
        Time.Advance(TimeSpan.FromMinutes(10));
        // Read anew twice before the gauge speaks.
        await RunThrough(Gauge(0.254));
        await RunThrough(Gauge(0.254), ("r", "401"));
        Time.Advance(TimeSpan.FromMinutes(10));
        await RunThrough(Gauge(0.254), ("r", "402"));

        Assert.Equal([0.2, 0.254], store.ReadSeason().Select(row => Math.Round(row.Value, 6)));
        Assert.Single(Said.Lines, line => line.Contains("amounts are counted from the next one", StringComparison.Ordinal));

        SentinelLoop Gauge(double scale) => new(
            store, new PayloadMap([Series[2] with { Scale = scale }]), [Yard], _ => { }, new LoopOptions(), Time, Said.Logger);
    }

    [Fact]
    public async Task Large_messages_wait_outside_once_sixteen_megabytes_wait_inside()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store, new LoopOptions { CommitWindow = TimeSpan.Zero });
        var large = new string(' ', 255 * 1024) + "81";
        List<Task> offered = [];
        for (var i = 0; i < 70; i++)
            offered.Add(loop.OfferAsync(Message("h", large), Ct).AsTask());
        Assert.Equal(16 * 1024 / 255, offered.Count(task => task.IsCompleted));

        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        var running = loop.RunAsync(stop.Token);
        await Task.WhenAll(offered);
        await Until.TrueAsync(() => Acknowledged.Count == 70, "all are stored");
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task Nothing_is_acknowledged_before_the_window_ends_and_then_all_in_order()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store, options: new LoopOptions { Capacity = 1 });
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        string[] values = ["80", "81", "82", "83", "84"];
        // One fits into the inbox: once the last is in, the loop is through with all but the last two, and answers one question a turn.
        foreach (var value in values) await loop.OfferAsync(Message("h", value), Ct);
        for (var i = 0; i < 3; i++) await loop.AskAsync(_ => 0, Ct);
        Assert.Empty(Acknowledged);

        Time.Advance(TimeSpan.FromSeconds(31));
        await Until.TrueAsync(() => Acknowledged.Count == 5, "five acknowledgements");
        Assert.Equal(values, Acknowledged);
        await stop.CancelAsync();
        await running;
        Assert.Equal([80, 81, 82, 83, 84], store.ReadSeason().Select(reading => reading.Value));
    }

    [Fact]
    public async Task A_value_that_cannot_be_is_kept_aside_with_its_reason_and_warned_of_once_an_hour()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store);
        await RunThrough(loop, ("t", """{"v":77}"""), ("t", """{"v":78.5}"""), ("h", "8100"), ("h", "64"));

        var warnings = Said.Lines.Where(sentence => sentence.Contains("kept aside", StringComparison.Ordinal)).ToList();
        Assert.Equal(
            [
                "t: temperature 77.0 cannot be: -60 to 60 °C are taken; is the unit °F? It is kept aside; the command 'refused' lists it.",
                "h: humidity 8100.0 cannot be: above 0 to 105 % are taken; are these hundredths (scale: 0.01), "
                    + "or percent although the series says unit: fraction? It is kept aside; the command 'refused' lists it.",
            ],
            warnings);
        var rows = store.Quarantine();
        Assert.Equal([("t", 78.5, 2L), ("h", 8100.0, 1L)], rows.Select(row => (row.Topic, row.Value!.Value, row.Count)));
        Assert.True(loop.Watches["yard"].LastRefused.ContainsKey(Quantity.Temperature));
    }

    [Fact]
    public async Task Twenty_waiting_messages_force_a_commit_without_time_passing()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        for (var i = 0; i < 20; i++) await loop.OfferAsync(Message("h", $"{i}"), Ct);
        await Until.TrueAsync(() => Acknowledged.Count == 20, "twenty acknowledgements");
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task Sixteen_megabytes_of_messages_force_a_commit_and_a_byte_less_does_not()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store, new LoopOptions { MaxUnacknowledged = 1000 });
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        var (piece, less) = (new string(' ', 256 * 1024), new string(' ', (256 * 1024) - 1));
        for (var i = 0; i < 64; i++)
            await loop.OfferAsync(Message("h", i < 63 ? piece : less), Ct);
        await loop.AskAsync(_ => 0, Ct);
        await loop.AskAsync(_ => 0, Ct);
        Assert.Empty(Acknowledged);
        await loop.OfferAsync(Message("h", "8"), Ct);
        await Until.TrueAsync(() => Acknowledged.Count == 65, "all are stored");
        // What was committed counts no more.
        await loop.OfferAsync(Message("h", "9"), Ct);
        await loop.AskAsync(_ => 0, Ct);
        await loop.AskAsync(_ => 0, Ct);
        Assert.Equal(65, Acknowledged.Count);
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task A_stop_commits_and_acknowledges_what_is_in_hand()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store);
        using var stop = new CancellationTokenSource();
        for (var i = 0; i < 7; i++) await loop.OfferAsync(Message("h", $"{i}"), Ct);
        await stop.CancelAsync();
        await loop.RunAsync(stop.Token);
        Assert.Equal(7, Acknowledged.Count);
        Assert.Equal(7, store.ReadSeason().Count());
    }

    [Fact]
    public async Task A_broken_message_is_kept_aside_and_acknowledged_and_the_flow_goes_on()
    {
        using var store = SentinelStore.Open(File);
        await RunThrough(Loop(store), ("t", "{broken"), ("h", "21,5"), ("h", "unavailable"), ("h", "80"));
        Assert.Equal(4, Acknowledged.Count);
        Assert.Equal(["h", "t"], store.Quarantine().Select(one => one.Topic).Order());
        Assert.Single(store.ReadSeason());
    }

    [Fact]
    public async Task Every_seventh_message_of_an_hour_is_poisonous_and_all_others_are_stored()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        string[] poison =
            ["", "\0\0\0", "{\"v\":", "nan", "[[[[[[[[", "1e999", "\uFEFF\uFFFF", "{\"v\":{\"v\":[]}}", new string('9', 70_000)];
        var good = 0;
        for (var second = 0; second < 3600; second++)
        {
            if (second % 20 == 0)
                Time.Advance(TimeSpan.FromSeconds(20));
            var isGood = second % 7 > 0;
            var at = Time.GetUtcNow().AddMilliseconds(second - 7200).ToUnixTimeMilliseconds();
            await loop.OfferAsync(
                Message("t", isGood ? FormattableString.Invariant($"{{\"v\":9.5,\"at\":{at}}}") : poison[second / 7 % poison.Length]),
                Ct);
            good += isGood ? 1 : 0;
        }

        loop.Complete();
        await running;
        Assert.Equal(3600, Acknowledged.Count);
        Assert.Equal(good, store.ReadSeason().Count());
        // Some is no reading, such as nan, and no fault.
        Assert.InRange(store.Quarantine().Sum(row => row.Count), 200, 3600 - good);
        // Each reason once an hour.
        Assert.InRange(Said.Lines.Count(line => line.StartsWith("t: ", StringComparison.Ordinal)), 1, 2 * poison.Length);
    }

    [Fact]
    public async Task The_same_reading_twice_is_stored_once_also_after_a_restart()
    {
        const string reading = """{"v":9.5,"at":"2027-03-01T05:59:00Z"}""";
        using (var store = SentinelStore.Open(File))
            await RunThrough(Loop(store), ("t", reading), ("t", reading), ("r", "10"), ("r", "11"));
        Time.Advance(TimeSpan.FromMinutes(5));
        using var again = SentinelStore.Open(File);
        await RunThrough(Loop(again), ("t", reading), ("r", "12.5"));
        Assert.Equal([9.5, 1, 1.5], again.ReadSeason().Select(one => one.Value));
        var stamps = again.ReadSeason().Select(one => one.ReceivedUs).ToList();
        Assert.Equal(stamps.Distinct().Order(), stamps);
        Assert.Equal(6, Acknowledged.Count);
    }

    [Fact]
    public async Task The_clock_may_come_from_the_readings()
    {
        using var store = SentinelStore.Open(File);
        await RunThrough(
            Loop(store, options: new LoopOptions { ClockFromReadings = true }),
            ("t", """{"v":1,"at":"2030-01-01T00:00:00Z"}"""), ("t", """{"v":2,"at":"2030-01-01T00:10:00Z"}"""), ("t", """{"v":3,"at":"2030-01-01T00:05:00Z"}"""));
        var stamps = store.ReadSeason().Select(one => Stamp(one.ReceivedUs));
        Assert.Equal(["00:00:00.000000", "00:10:00.000001", "00:10:00.000000"], stamps);

        static string Stamp(long us) =>
            DateTimeOffset.UnixEpoch.AddTicks(us * 10).ToString("HH:mm:ss.ffffff", CultureInfo.InvariantCulture);
    }

    [Theory]
    [InlineData(5, 900)]
    [InlineData(10, 1800)]
    public async Task What_the_watches_say_expires_after_three_intervals_and_not_within_a_quarter_of_an_hour(int minutes, int seconds)
    {
        using var store = SentinelStore.Open(File);
        var expiries = new ConcurrentDictionary<string, uint>();
        var loop = new SentinelLoop(
            store,
            new PayloadMap(Series),
            [Yard with { Step = TimeSpan.FromMinutes(minutes) }],
            message => expiries[message.Topic] = message.ExpirySeconds,
            new LoopOptions(),
            Time,
            Said.Logger);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await loop.OfferAsync(Message("t", """{"v":9.5}"""), Ct);
        await loop.OfferAsync(Message("h", "80"), Ct);
        await Until.TrueAsync(
            () =>
            {
                Time.Advance(TimeSpan.FromSeconds(30));
                return expiries.ContainsKey("sentinel/yard/weather");
            },
            "an interval is published");
        await stop.CancelAsync();
        await running;
        Assert.Equal(
            [("sentinel/yard/old-peach/risk", (uint)seconds), ("sentinel/yard/weather", (uint)seconds)],
            expiries.Select(one => (one.Key, one.Value)).Order());
    }

    [Fact]
    public async Task A_planting_that_is_not_judged_yet_is_published_as_unknown()
    {
        using var store = SentinelStore.Open(File);
        await RunThrough(Loop(store));
        using var json = JsonDocument.Parse(Published["sentinel/yard/old-peach/risk"]);
        var root = json.RootElement;
        Assert.Equal("unknown", root.GetProperty("level").GetString());
        Assert.Equal(-1, root.GetProperty("level_number").GetInt32());
        Assert.Equal("wet-hours", root.GetProperty("rule").GetString());
        Assert.True(root.GetProperty("uncertain").GetBoolean());
        foreach (var name in (string[])["since", "spell", "stage", "cover", "as_of"])
            Assert.Equal(JsonValueKind.Null, root.GetProperty(name).ValueKind);
    }
}
