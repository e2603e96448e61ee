using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Tests;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.PowerCuts;

/// <summary>
/// The disk refuses: once, at each step that the store takes; and for a day, while sensors speak. What was told to be committed is
/// there, what was not is tried again, and nothing is there in half. Codes as in sqlite.org/rescode.html.
/// </summary>
public sealed class DiskFaultTests : IDisposable
{
    private const int Full = 13, WriteError = 778, SyncError = 1034, CutError = 1546, RemoveError = 2570;

    private readonly string _folder = Directory.CreateDirectory(
        Path.Combine(Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(), $"disk-fault-{Guid.NewGuid():n}")).FullName;

    private readonly LogLines _said = new();

    private string Store => Path.Combine(_folder, "garden.db");

    public void Dispose()
    {
        _said.Dispose();
        Directory.Delete(_folder, true);
    }

    [Fact]
    public void A_disk_that_refuses_at_any_one_step_costs_nothing()
    {
        Write(null, out var expected, out var steps);
        var every = LongRun.Asked("CUTS") is null ? Math.Max(1, steps / 40) : 1;
        int tried = 0, refused = 0;
        // An error, a full disk, and a full disk after half of what was to be written.
        foreach (var written in (int[])[WriteError, Full, -Full])
        {
            for (var at = 0; at < steps; at += every)
            {
                var number = 0;
                refused += Write(
                    step =>
                        number++ != at ? 0
                        : step switch { Written => written, Synced => SyncError, CutTo => CutError, _ => RemoveError },
                    out var found,
                    out _);
                Assert.True(
                    found.SetEquals(expected),
                    $"step {at}: missing {expected.Except(found).FirstOrDefault()}, not written {found.Except(expected).FirstOrDefault()}");
                tried++;
            }
        }

        LongRun.Tell(
            $"disk faults: {steps} steps, {tried} refusals tried; {refused} commits failed, were tried again and are there");
        Assert.True(refused > 0);
    }

    [Fact]
    public async Task A_disk_that_is_full_for_a_day_loses_nothing_and_the_service_goes_on_within_a_minute_of_there_being_room()
    {
        var time = new Microsoft.Extensions.Time.Testing.FakeTimeProvider(SampleStore.Begin);
        List<string> acknowledged = [];
        using var recording = RecordingDisk.Watch(_folder);
        using var store = SentinelStore.Open(Store);
        var loop = new SentinelLoop(
            store,
            new PayloadMap([new SeriesMap { SiteId = "yard", Quantity = Quantity.Temperature, Topic = "t", Path = "v", TimePath = "at" }]),
            [new Site { Id = "yard", Plantings = [new Planting("old-peach")] }],
            _ => { },
            new LoopOptions { MaxUnacknowledged = 1 },
            time,
            _said.Logger);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        var sent = 0;
        await SayAsync();
        await Until.TrueAsync(() => Acknowledged() == 1, "the first is stored");

        recording.Fault = step => step is Written ? Full : 0;
        var began = time.GetUtcNow();
        // A broker delivers no more than it may have unacknowledged; the rest waits there.
        for (var i = 0; i < 20; i++)
            await SayAsync();
        await PassUntil(() => time.GetUtcNow() - began >= TimeSpan.FromDays(1));
        Assert.Equal(1, Acknowledged());
        Assert.False(loop.IsWell);
        Assert.InRange(_said.Lines.Count(line => line.StartsWith("The store takes nothing", StringComparison.Ordinal)), 23, 26);

        recording.Fault = null;
        var freed = time.GetUtcNow();
        await PassUntil(() => Acknowledged() == sent);
        Assert.InRange(time.GetUtcNow() - freed, TimeSpan.Zero, TimeSpan.FromSeconds(60));
        await stop.CancelAsync();
        await running;
        Assert.Equal(sent, store.ReadSeason().Count());
        Assert.Empty(store.Faults());

        int Acknowledged()
        {
            lock (acknowledged)
                return acknowledged.Count;
        }

        async Task SayAsync()
        {
            var ms = SampleStore.Begin.AddSeconds(sent).ToUnixTimeMilliseconds();
            var payload = string.Create(CultureInfo.InvariantCulture, $"{{\"v\":{5 + (sent++ % 40)},\"at\":{ms}}}");
            await loop.OfferAsync(
                new ArrivedMessage("t", System.Text.Encoding.UTF8.GetBytes(payload), acknowledge: _ =>
                {
                    lock (acknowledged)
                        acknowledged.Add(payload);
                    return Task.CompletedTask;
                }),
                TestContext.Current.CancellationToken);
        }

        Task PassUntil(Func<bool> condition) => Until.TrueAsync(
            () =>
            {
                for (var i = 0; i < 20 && !condition(); i++)
                {
                    time.Advance(TimeSpan.FromSeconds(5));
                    Thread.Yield();
                }

                return condition();
            },
            "the store is asked again");
    }

    /// <summary>Commits and a checkpoint, each tried again when the disk refuses; gives how often it did.</summary>
    private int Write(Func<DiskStep, int>? fault, out HashSet<string> found, out int steps)
    {
        foreach (var file in Directory.GetFiles(_folder))
            File.Delete(file);
        var refused = 0;
        using (var made = SentinelStore.Open(Store))
            made.SeriesId("yard/temperature/a");
        using (var recording = RecordingDisk.Watch(_folder))
        {
            using (var store = SentinelStore.Open(Store))
            using (var journal = JournalBook.Beside(Store))
            {
                recording.Fault = fault;
                for (var step = 0; step < 8; step++)
                {
                    var at = SampleStore.Begin.AddMinutes(5 * step);
                    var ms = at.ToUnixTimeMilliseconds();
                    var batch = new StoreBatch();
                    batch.Readings.Add(new StoredReading(1, ms, 5 + step, ms * 1000));
                    batch.Deliveries.Add(new StoredDelivery(step + 1, step + 1, step * 7919L, false));
                    batch.Events.Add(new StoredEvent($"yard/old-peach/window/{step}", ms));
                    batch.Outbox.Add(new OutboxRow($"alert-{step}", "phone", $"yard/{step}", ms, ms + 86_400_000, "{}"));
                    Insist(() => store.Commit(batch));
                    if (step == 3)
                        Insist(() => journal.Add(new StageEntry(0, "yard", "old-peach", DateOnly.FromDateTime(at.Date), 7), at));
                    if (step == 5)
                        Insist(Checkpoint);
                }

                steps = recording.Steps.Count;
            }

            steps = recording.Steps.Count;
        }

        StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
        found = SampleStore.Dump(Store);
        return refused;

        void Insist(Action commit)
        {
            for (var tries = 0; ; tries++)
            {
                try
                {
                    commit();
                    return;
                }
                catch (Exception failure) when (failure is SqliteException or StoreException && tries < 3)
                {
                    refused++;
                }
            }
        }
    }

    private void Checkpoint()
    {
        using var other = new SqliteConnection($"Data Source={Store};Pooling=False");
        other.Open();
        using var command = other.CreateCommand();
        command.CommandText = "pragma wal_checkpoint(truncate)";
        command.ExecuteScalar();
    }
}
