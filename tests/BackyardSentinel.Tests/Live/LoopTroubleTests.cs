using BackyardSentinel.Sensors;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Live;

// A store that takes nothing or hangs, a judgement that lags: what the loop says of itself, and that nothing is lost.
public sealed class LoopTroubleTests : LoopBench
{
    private const string Refusal = "The store takes nothing";

    [Fact]
    public async Task It_turns_while_the_store_takes_nothing_and_not_while_it_hangs()
    {
        using var store = SentinelStore.Open(File);
        using var released = new ManualResetEventSlim();
        var loop = Loop(store);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await loop.AskAsync(_ => 0, Ct);
        Assert.False(loop.Turns.IsLate);

        var hanging = loop.AskAsync(
            _ =>
            {
                released.Wait(CancellationToken.None);
                return 0;
            },
            CancellationToken.None);
        await Until.TrueAsync(
            () =>
            {
                Time.Advance(TimeSpan.FromSeconds(10));
                return loop.Turns.IsLate;
            },
            "it is late");
        released.Set();
        await hanging;
        await Until.TrueAsync(() => !loop.Turns.IsLate, "it turns again");
        await stop.CancelAsync();
        await running;
    }

    // By a clock that is a day slow to the minute each value falls on a moment that has one already.
    [Fact]
    public async Task A_value_of_another_day_is_refused_also_where_one_of_its_moment_is_stored()
    {
        using var store = SentinelStore.Open(File);
        await RunThrough(
            Loop(store),
            ("t", "{\"v\":8,\"at\":\"2027-02-28T05:00:00Z\"}"),
            ("t", "{\"v\":9,\"at\":\"2027-02-28T05:00:00Z\"}"));

        var refused = Assert.Single(store.Quarantine());
        Assert.Equal(2, refused.Count);
        Assert.Contains("more than a day before its arrival", refused.Reason.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task It_is_well_while_readings_are_stored_and_judged_and_not_while_the_store_takes_nothing()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store, options: new LoopOptions { MaxUnacknowledged = 1 });
        Assert.False(loop.IsWell);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await loop.OfferAsync(Message("h", "80"), Ct);
        await Until.TrueAsync(() => Acknowledged.Count == 1, "the first is stored");
        await Until.TrueAsync(() => loop.IsWell, "it is well");

        using (var holder = new SqliteConnection($"Data Source={File};Pooling=False"))
        {
            holder.Open();
            using var command = holder.CreateCommand();
            command.CommandText = "begin immediate";
            command.ExecuteNonQuery();
            await loop.OfferAsync(Message("h", "81"), Ct);
            await Until.TrueAsync(
                () =>
                {
                    Time.Advance(TimeSpan.FromSeconds(10));
                    return !loop.IsWell;
                },
                "it is not well");
            command.CommandText = "rollback";
            command.ExecuteNonQuery();
        }

        await Until.TrueAsync(
            () =>
            {
                Time.Advance(TimeSpan.FromSeconds(10));
                return loop.IsWell;
            },
            "it is well again");
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task It_is_not_well_while_it_turns_and_its_judgement_is_days_from_the_clock()
    {
        using var store = SentinelStore.Open(File);
        await RunThrough(Loop(store), ("h", "80"));
        // The computer has lost its time: the clock shows a day before all that is stored, and is not believed.
        var time = new FakeTimeProvider(Time.GetUtcNow().AddDays(-10));
        var loop = new SentinelLoop(store, new PayloadMap(Series), [Yard], _ => { }, new LoopOptions(), time, Said.Logger);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await loop.OfferAsync(Message("h", "81"), Ct);
        await Until.TrueAsync(
            () =>
            {
                time.Advance(TimeSpan.FromSeconds(1));
                Assert.False(loop.IsWell);
                return Acknowledged.Contains("81");
            },
            "the loop takes messages");
        Assert.False(loop.IsWell);
        await stop.CancelAsync();
        await running;
    }

    [Theory]
    [InlineData(2880, "2 days", "2027-02-27 06")]
    [InlineData(2879, "48 hours", "2027-02-27 06")]
    public async Task A_clock_that_has_lost_its_time_is_told_with_by_how_much_until_it_is_set(int minutes, string span, string hour)
    {
        using var store = SentinelStore.Open(File);
        await RunThrough(Loop(store), ("h", "80"));
        var time = new Hosting.SteppedTime(Time.GetUtcNow()) { Offset = TimeSpan.FromMinutes(-minutes) };
        var loop = new SentinelLoop(store, new PayloadMap(Series), [Yard], _ => { }, new LoopOptions(), time, Said.Logger);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        var asked = loop.AskAsync(now => now.Troubles.Count, Ct);
        for (var second = 0; second < 30; second++)
        {
            await time.Sleeps.WaitAsync(Ct);
            time.Advance(TimeSpan.FromSeconds(1));
        }

        Assert.Equal(0, await asked);
        Assert.Equal(
            new Alerting.ClockWrong(Time.GetUtcNow().AddSeconds(30), TimeSpan.FromMinutes(-minutes)),
            Assert.Single(await loop.AskAsync(now => now.Troubles, Ct)));
        time.Offset = TimeSpan.Zero;
        time.Advance(TimeSpan.FromSeconds(1));
        Assert.Empty(await NextAsync(now => now.Troubles));
        await stop.CancelAsync();
        await running;
        var (at, later) = ($"{hour}:{(2880 - minutes):00}:30Z", $"{hour}:{(2880 - minutes) + 1:00}:00Z");
        Assert.Equal(
            [
                $"The computer's clock has leapt by -{span} to {at}. Nothing is taken until it has stood by that for 30 s.",
                $"The computer's clock says {later}, {span} behind what the store has lived through: it has lost its time. "
                    + "Time is counted on from 2027-03-01 06:01:00Z until it is set; set it, or let the network set it.",
                "The computer's clock is believed again: it is 2027-03-01 06:01:01Z.",
            ],
            Said.Lines.Where(line => line.StartsWith("The computer's clock", StringComparison.Ordinal)));

        // The first answer may come from a turn that began before.
        async Task<T> NextAsync<T>(Func<GardenNow, T> question)
        {
            await loop.AskAsync(question, Ct);
            return await loop.AskAsync(question, Ct);
        }
    }

    [Fact]
    public async Task While_the_clock_leaps_on_and_on_nothing_is_taken_and_the_loop_is_well_and_answers()
    {
        using var store = SentinelStore.Open(File);
        await RunThrough(Loop(store), ("h", "80"));
        var time = new Hosting.SteppedTime(Time.GetUtcNow());
        var loop = new SentinelLoop(store, new PayloadMap(Series), [Yard], _ => { }, new LoopOptions(), time, Said.Logger);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        // It takes a minute that is judged before it can be well.
        time.Advance(TimeSpan.FromMinutes(1));
        await Until.TrueAsync(() => loop.IsWell, "it is well");
        await loop.OfferAsync(Message("h", "81"), Ct);
        time.Offset = TimeSpan.FromMinutes(-11);
        time.Advance(TimeSpan.FromSeconds(1));
        for (var second = 1; second < 200; second++)
        {
            await time.Sleeps.WaitAsync(Ct);
            time.Offset = TimeSpan.FromMinutes(-11 * (1 + (second / 25)));
            time.Advance(TimeSpan.FromSeconds(1));
        }

        await time.Sleeps.WaitAsync(Ct);
        Assert.Equal((true, false, 1), (loop.IsWell, loop.Turns.IsLate, store.ReadSeason().Count()));
        var asked = loop.AskAsync(now => now.Watches.Count, Ct);
        time.Advance(TimeSpan.FromSeconds(1));
        Assert.Equal(1, await asked);
        await stop.CancelAsync();
        time.Advance(TimeSpan.FromSeconds(30));
        await running;
    }

    [Fact]
    public async Task A_full_disk_costs_nothing_is_told_once_an_hour_and_is_over_a_minute_after_there_is_room()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store, new LoopOptions { MaxUnacknowledged = 1 });
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        // The store's own connection is told that the disk has no page more: SQLite then answers as on a full disk.
        var connection = (SqliteConnection)typeof(SentinelStore)
            .GetField("_connection", System.Reflection.BindingFlags.Instance | System.Reflection.BindingFlags.NonPublic)!
            .GetValue(store)!;
        Limit(1);
        var sent = 0;
        while (Told() == 0 && sent < 2000)
        {
            await loop.OfferAsync(Message("h", (20 + (sent++ % 60)).ToString(System.Globalization.CultureInfo.InvariantCulture)), Ct);
            await PassUntil(5, () => Acknowledged.Count == sent || Told() > 0);
        }

        Assert.Contains(
            "disk is full", Said.Lines.Single(line => line.StartsWith(Refusal, StringComparison.Ordinal)), StringComparison.Ordinal);
        var began = Time.GetUtcNow();
        await PassUntil(5, () => Time.GetUtcNow() - began > TimeSpan.FromHours(2.5));
        Assert.Equal(sent - 1, Acknowledged.Count);
        Assert.InRange(Told(), 2, 3);

        Limit(1_000_000);
        var freed = Time.GetUtcNow();
        await PassUntil(5, () => Acknowledged.Count == sent);
        Assert.InRange(Time.GetUtcNow() - freed, TimeSpan.Zero, TimeSpan.FromSeconds(60));
        await stop.CancelAsync();
        await running;
        Assert.Equal(sent, store.ReadSeason().Count());
        Assert.Single(Said.Lines, line => line.StartsWith("The store takes what comes again", StringComparison.Ordinal));

        int Told() => Said.Lines.Count(line => line.StartsWith(Refusal, StringComparison.Ordinal));

        void Limit(int pages)
        {
            using var command = connection.CreateCommand();
            command.CommandText = $"pragma max_page_count = {pages}";
            command.ExecuteScalar();
        }
    }

    // An hour of messages, each seventh of which the program's own reader fails at.
    [Fact]
    public async Task A_message_at_which_the_reader_fails_is_kept_aside_and_stops_nothing()
    {
        using var store = SentinelStore.Open(File);
        using var acknowledged = new SemaphoreSlim(0);
        var fails = false;
        var map = new PayloadMap([Series[0] with { NoReading = new FailingList(() => fails) }]);
        var loop = new SentinelLoop(
            store, map, [Yard], _ => { }, new LoopOptions { MaxUnacknowledged = 1 }, Time, Said.Logger);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        for (var number = 1; number <= 700; number++)
        {
            fails = number % 7 == 0;
            await loop.OfferAsync(
                new ArrivedMessage(
                    "t",
                    Encoding.UTF8.GetBytes($$"""{"v": 8, "at": "{{Time.GetUtcNow():yyyy-MM-ddTHH:mm:ssZ}}"}"""),
                    acknowledge: _ => Task.FromResult(acknowledged.Release())),
                Ct);
            Assert.True(await acknowledged.WaitAsync(TimeSpan.FromMinutes(1), Ct), $"message {number} is acknowledged");
            Time.Advance(TimeSpan.FromSeconds(5));
        }

        await stop.CancelAsync();
        await running;
        Assert.Equal(600, store.ReadSeason().Count());
        var aside = store.Quarantine();
        Assert.Equal(100, aside.Sum(one => one.Count));
        Assert.All(aside, one => Assert.Contains("a fault of the program", one.Reason.Text, StringComparison.Ordinal));
        Assert.Single(Said.Lines, line => line.Contains("failed to read a message (it is broken)", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_gap_in_listening_that_cannot_be_written_down_is_once_it_can_be()
    {
        using var store = SentinelStore.Open(File);
        var isUp = true;
        var loop = Loop(store, parts: new LoopParts { IsListening = () => isUp });
        using var saboteur = new SqliteConnection($"Data Source={File};Pooling=false");
        saboteur.Open();
        Run("alter table outages rename to away");
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await PassUntil(10, () => loop.IsWell);
        isUp = false;
        await PassUntil(10, () => Said.Lines.Any(line => line.StartsWith("The store takes nothing", StringComparison.Ordinal)));
        var since = Time.GetUtcNow();

        Run("alter table away rename to outages");
        using var read = SentinelStore.Reading(File);
        await PassUntil(10, () => read.Outages().Count == 1);
        Assert.True(read.Outages()[0] < since);
        await stop.CancelAsync();
        await running;

        void Run(string sql)
        {
            using var command = saboteur.CreateCommand();
            command.CommandText = sql;
            command.ExecuteNonQuery();
        }
    }

    [Theory]
    [InlineData(false, "is gone: put it back")]
    [InlineData(true, "another file lies in the place of its file")]
    public async Task Nothing_is_acknowledged_while_the_stores_file_is_gone_and_all_once_it_is_back(bool isReplaced, string says)
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store, new LoopOptions { MaxUnacknowledged = 1 });
        using var journal = JournalBook.Beside(File);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        System.IO.File.Move(File, File + ".away");
        if (isReplaced)
            System.IO.File.Copy(File + ".away", File);
        await loop.OfferAsync(Message("h", "80"), Ct);
        await PassUntil(1, () => Said.Lines.Any(line => line.StartsWith("The store takes nothing (", StringComparison.Ordinal)));
        Assert.Single(Said.Lines, line => line.Contains(says, StringComparison.Ordinal));
        Assert.Empty(Acknowledged);
        var entry = new StageEntry(0, "yard", "old-peach", new DateOnly(2027, 2, 1), 1);
        var refusal = Assert.Throws<StoreException>(() => journal.Add(entry, Time.GetUtcNow()));
        Assert.Contains(says, refusal.Message, StringComparison.Ordinal);

        System.IO.File.Move(File + ".away", File, overwrite: true);
        await PassUntil(1, () => Acknowledged.Count == 1);
        await stop.CancelAsync();
        await running;
        Assert.Single(store.ReadSeason());
    }

    [Fact]
    public async Task Nothing_is_acknowledged_while_the_store_fails_and_all_once_it_works_again()
    {
        using var store = SentinelStore.Open(File);
        var loop = Loop(store, new LoopOptions { MaxUnacknowledged = 1 });
        using var saboteur = new SqliteConnection($"Data Source={File};Pooling=false");
        saboteur.Open();
        Run("alter table readings rename to away");
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await loop.OfferAsync(Message("h", "80"), Ct);
        await PassUntil(
            1, () => Said.Lines.Count(sentence => sentence.StartsWith("The store takes nothing", StringComparison.Ordinal)) == 1);
        Assert.Empty(Acknowledged);

        Run("alter table away rename to readings");
        await PassUntil(1, () => Acknowledged.Count == 1);
        await stop.CancelAsync();
        await running;
        Assert.Single(store.ReadSeason());

        void Run(string sql)
        {
            using var command = saboteur.CreateCommand();
            command.CommandText = sql;
            command.ExecuteNonQuery();
        }
    }

    private sealed class FailingList(Func<bool> fails) : IReadOnlyList<double>
    {
        public int Count => 1;

        public double this[int index] => -99;

        public IEnumerator<double> GetEnumerator() =>
            fails() ? throw new FormatException("it is broken") : new List<double> { -99 }.GetEnumerator();

        System.Collections.IEnumerator System.Collections.IEnumerable.GetEnumerator() => GetEnumerator();
    }

    /// <summary>Lets time pass by steps of some seconds until something has come about.</summary>
    private Task PassUntil(int seconds, Func<bool> condition) => Until.TrueAsync(
        () =>
        {
            Time.Advance(TimeSpan.FromSeconds(seconds));
            return condition();
        },
        "time passes");
}
