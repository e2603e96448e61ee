using BackyardSentinel.Tests;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.PowerCuts;

/// <summary>
/// The power fails at every step that SQLite takes on the disk, and the disk has of what was not synced yet whatever chance says. What
/// was committed before is there, the store opens, and says nothing that was not written. A part of the steps is tried always;
/// BACKYARD_SENTINEL_CUTS=5 tries all of them with so many chances each.
/// </summary>
public sealed class PowerCutTests : IDisposable
{
    private readonly string _folder = Directory.CreateDirectory(
        Path.Combine(Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(), $"power-cut-{Guid.NewGuid():n}")).FullName;

    private string Live => Path.Combine(_folder, "live");

    private string Store => Path.Combine(Live, "garden.db");

    private string Found => Path.Combine(_folder, "found");

    private string FoundStore => Path.Combine(Found, "garden.db");

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void Commits_checkpoints_and_closes_lose_nothing_that_was_committed()
    {
        Directory.CreateDirectory(Live);
        List<HashSet<string>> states = [];
        using var recording = RecordingDisk.Watch(Live);
        for (var start = 0; start < 3; start++)
            Work(recording, states, start);
        Try("commits, checkpoints, closes", recording, [], states);
    }

    [Fact]
    public void A_store_that_does_not_wait_for_the_disk_is_found_out()
    {
        Directory.CreateDirectory(Live);
        using var recording = RecordingDisk.Watch(Live);
        using (var careless = new SqliteConnection($"Data Source={Store};Pooling=False"))
        {
            careless.Open();
            using var command = careless.CreateCommand();
            command.CommandText = "pragma synchronous = off; pragma journal_mode = wal; create table t(x); insert into t values (1)";
            command.ExecuteNonQuery();
            recording.Add(new Promised(0));
        }

        var platter = new Platter([], -1);
        foreach (var step in recording.Steps.TakeWhile(step => step is not Promised))
            platter.Take(step);
        Assert.Empty(platter.AfterCut(Unsynced.Lost, new Random(1)));
        Assert.NotEmpty(platter.AfterCut(Unsynced.Kept, new Random(1)));
    }

    [Fact]
    public void Bringing_an_earlier_store_up_to_date_is_done_or_not_begun()
    {
        foreach (var version in OldStores.Versions)
        {
            Directory.CreateDirectory(Live);
            OldStores.Make(Store, version);
            var old = Files();
            using var recording = RecordingDisk.Watch(Live);
            StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
            Try($"version {version} brought up to date", recording, old, [SampleStore.Dump(Store)]);
            Directory.Delete(Live, true);
        }
    }

    [Fact]
    public void A_backup_leaves_the_store_as_it_is_and_can_be_made_again()
    {
        Directory.CreateDirectory(Live);
        SampleStore.Make(Store, hours: 6);
        var before = Files();
        var state = SampleStore.Dump(Store);
        var backup = Path.Combine(Live, "backup.db");
        using var recording = RecordingDisk.Watch(Live);
        StoreBackup.Write(Store, backup, SampleStore.Begin);
        Try(
            "backup",
            recording,
            before,
            // That it was copied is noted in the store afterwards.
            [state, SampleStore.Dump(Store)],
            () =>
            {
                var again = Path.Combine(Found, "backup.db");
                Assert.False(File.Exists(again), "half a backup has the name of a whole one");
                var found = SampleStore.Dump(FoundStore);
                Assert.Empty(StoreBackup.Write(FoundStore, again, SampleStore.Begin).Faults);
                Assert.True(SampleStore.Dump(again).SetEquals(found));
            });
    }

    [Fact]
    public void Saving_a_damaged_store_is_taken_up_again()
    {
        Directory.CreateDirectory(Live);
        SampleStore.Make(Store, hours: 12);
        var spoilt = SampleStore.Begin.AddHours(7).ToUnixTimeMilliseconds();
        SampleStore.Tamper(Store, $"update readings set value = value + 0.5 where time_ms = {spoilt}");
        var damaged = Files();
        using var recording = RecordingDisk.Watch(Live);
        StoreRescue.Open(Store, null, SampleStore.Clock, _ => { }).Dispose();
        // The names that are given at the end are not SQLite's; from there on another test goes step by step.
        var moved = recording.Steps.FindLastIndex(step => step.Path.Contains(".half", StringComparison.Ordinal));
        recording.Steps.RemoveRange(moved + 1, recording.Steps.Count - moved - 1);
        Try("saving of a damaged store", recording, damaged, [SampleStore.Dump(Store)], mayBeDamaged: true);
    }

    [Fact]
    public void Wherever_the_moving_of_a_damaged_store_ends_it_is_taken_up_again()
    {
        Directory.CreateDirectory(Live);
        SampleStore.Make(Store, hours: 6);
        var saved = File.ReadAllBytes(Store);
        var expected = SampleStore.Dump(Store);
        const string Aside = ".damaged-20270401T000000Z";
        for (var moves = 0; moves <= 4; moves++)
        {
            Directory.Delete(Live, true);
            Directory.CreateDirectory(Live);
            string[] order = ["-shm", "-wal", ""];
            for (var i = 0; i < 3; i++)
                File.WriteAllText(Store + (i < moves ? Aside : "") + order[i], "damaged" + order[i]);
            File.WriteAllBytes(moves > 3 ? Store : Store + Aside + ".saved", saved);
            StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
            Assert.True(SampleStore.Dump(Store).SetEquals(expected), $"after {moves} moves");
            Assert.All(order, beside => Assert.Equal("damaged" + beside, File.ReadAllText(Store + Aside + beside)));
        }
    }

    /// <summary>A start, all that a service writes, a checkpoint beside it, and a stop; each commit is a promise.</summary>
    private void Work(Recording recording, List<HashSet<string>> states, int start)
    {
        var store = StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault));
        using var journal = JournalBook.Beside(Store);
        using var answers = AnswerBook.Beside(Store);
        Promise();
        store.MarkServed();
        Promise();
        int[] series = [.. new[] { "temperature", "humidity", "rain" }.Select(name => Then(store.SeriesId($"yard/{name}/a")))];
        for (var step = 0; step < 24; step++)
        {
            var at = SampleStore.Begin.AddMinutes(5 * ((24 * start) + step));
            var ms = at.ToUnixTimeMilliseconds();
            var batch = new StoreBatch();
            foreach (var one in series)
                batch.Readings.Add(new StoredReading(one, ms, 5 + (step * 0.1) + one, (ms * 1000) + one));
            batch.Totals.Add(new StoredTotal(series[2], 0.2 * step, ms));
            batch.Deliveries.Add(new StoredDelivery((24 * start) + step + 1, step + 1, step * 7919L, false));
            if (step % 5 == 0)
            {
                batch.Events.Add(new StoredEvent($"yard/old-peach/window/{start}-{step}", ms));
                batch.Outbox.Add(new OutboxRow($"alert-{start}-{step}", "phone", $"yard/{step}", ms, ms + 86_400_000, "{}"));
            }

            if (step % 7 == 0)
                batch.Quarantine.Add(
                    new QuarantinedMessage("yard/in", $"temperature {step} cannot be", ms * 1000, [1, 2, (byte)step]) { Value = -127 });
            store.Commit(batch);
            Promise();
            if (step % 6 == 1)
                Then(journal.Add(new StageEntry(0, "yard", "old-peach", DateOnly.FromDateTime(at.Date), step), at));
            if (step % 8 == 2)
            {
                answers.Add($"yard/old-peach/{start}/{step}", "seen", null, at);
                Promise();
            }

            if (step is 9 or 17)
                Checkpoint(step == 9 ? "passive" : "truncate");
        }

        store.Commit(new StoreBatch { Outages = { SampleStore.Begin.AddHours(start) } });
        Promise();
        store.NoteListened(SampleStore.Begin.AddHours(start + 2));
        Promise();
        // As the program stops: the store last, whose close writes back what lies beside it.
        journal.Dispose();
        answers.Dispose();
        store.Dispose();
        Promise();

        T Then<T>(T done)
        {
            Promise();
            return done;
        }

        void Promise()
        {
            states.Add(SampleStore.Dump(Store));
            recording.Add(new Promised(states.Count - 1));
        }
    }

    private void Checkpoint(string how)
    {
        using var other = new SqliteConnection($"Data Source={Store};Pooling=False");
        other.Open();
        using var command = other.CreateCommand();
        command.CommandText = $"pragma wal_checkpoint({how})";
        command.ExecuteScalar();
    }

    private List<(string, byte[])> Files() =>
        [
            .. Directory.GetFiles(Live)
                .Where(file => !file.EndsWith("-shm", StringComparison.Ordinal))
                .Select(file => (file, File.ReadAllBytes(file))),
        ];

    /// <summary>Cuts the power after each step.</summary>
    private void Try(
        string what,
        Recording recording,
        List<(string, byte[])> before,
        IReadOnlyList<HashSet<string>> states,
        Action? then = null,
        bool mayBeDamaged = false)
    {
        var chances = LongRun.Asked("CUTS");
        var random = new Random(LongRun.Seed);
        var platter = new Platter(before, before.Count > 0 ? 0 : -1);
        var steps = recording.Steps.ToList();
        int points = 0, cuts = 0, again = 0, early = 0;
        // So that a part is tried from end to end.
        var every = chances is null ? Math.Max(1, steps.Count / 10) : 1;
        for (var at = 0; at <= steps.Count; at++)
        {
            if (at > 0)
                platter.Take(steps[at - 1]);
            if (at % every > 0 || (at > 0 && steps[at - 1] is Promised && chances is null))
                continue;
            points++;
            foreach (var how in Outcomes(chances ?? 1))
            {
                cuts++;
                PutDown(platter.AfterCut(how, random));
                var isTwice = random.Next(chances is null ? 12 : 4) == 0;
                var after = at > 0 ? steps[at - 1].GetType().Name : "begin";
                var when = string.Create(
                    CultureInfo.InvariantCulture,
                    $"{what}, seed {LongRun.Seed}, step {at} of {steps.Count} ({after}), {how}{(isTwice ? ", cut twice" : "")}");
                if (isTwice && platter.Promised >= 0)
                {
                    CutWhileOpening(random, how, when);
                    again++;
                }

                List<StoreDamage> damages = [];
                try
                {
                    StoreRescue.Open(FoundStore, null, SampleStore.Clock, damages.Add).Dispose();
                }
                catch (StoreException failure)
                {
                    Assert.Fail($"{when}: {failure.Message}");
                }

                // Before anything was promised an empty file may be found, and is told.
                early += platter.Promised < 0 && damages.Count > 0 ? 1 : 0;
                Assert.True(
                    damages.Count == 0 || mayBeDamaged || platter.Promised < 0,
                    $"{when}: taken for damaged: {damages.FirstOrDefault()?.Fault}");
                if (platter.Promised >= 0)
                {
                    var found = SampleStore.Dump(FoundStore);
                    var allowed = states.Skip(platter.Promised).Take(2).ToList();
                    Assert.True(
                        allowed.Exists(found.SetEquals),
                        $"{when}: missing {allowed[0].Except(found).FirstOrDefault()}, "
                            + $"not written {found.Except(allowed[^1]).FirstOrDefault()}");
                }

                then?.Invoke();
            }
        }

        LongRun.Tell(
            $"power cuts, {what}: {points} cut points, {cuts} outcomes, {again} of them cut once more while opening; none lost or other"
            + (early > 0 ? $"; {early} times a file in which nothing was stored yet was told as empty" : ""));
        Assert.True(points >= 10);
    }

    /// <summary>All lost and all kept happen in one way each, the others in as many as are asked for.</summary>
    private static IEnumerable<Unsynced> Outcomes(int chances) =>
        Enum.GetValues<Unsynced>().SelectMany(how => Enumerable.Repeat(how, how is Unsynced.Lost or Unsynced.Kept ? 1 : chances));

    /// <summary>The power comes back, and fails once more while the store is opened.</summary>
    private void CutWhileOpening(Random random, Unsynced how, string when)
    {
        var files = Directory.GetFiles(Found).Select(file => (file, File.ReadAllBytes(file))).ToList();
        using var recording = RecordingDisk.Watch(Found);
        try
        {
            StoreRescue.Open(FoundStore, null, SampleStore.Clock, _ => { }).Dispose();
        }
        catch (StoreException failure)
        {
            Assert.Fail($"{when}: {failure.Message}");
        }

        // Names given by the program itself are not recorded: what was moved is tried in tests of its own.
        if (Directory.GetFiles(Found, "*.damaged-*").Any(file => files.TrueForAll(one => one.file != file)))
        {
            PutDown(files.ToDictionary(one => one.file, one => one.Item2));
            return;
        }

        var platter = new Platter(files, 0);
        foreach (var step in recording.Steps.Take(random.Next(recording.Steps.Count + 1)))
            platter.Take(step);
        PutDown(platter.AfterCut(how, random));
    }

    private void PutDown(Dictionary<string, byte[]> files)
    {
        if (Directory.Exists(Found))
            Directory.Delete(Found, true);
        Directory.CreateDirectory(Found);
        foreach (var (path, bytes) in files)
            File.WriteAllBytes(Path.Combine(Found, Path.GetFileName(path)), bytes);
    }
}
