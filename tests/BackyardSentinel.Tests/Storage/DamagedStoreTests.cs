using BackyardSentinel.Tests;

namespace BackyardSentinel.Storage;

/// <summary>
/// Bar: of all damages none leaves a store that says something else without a word. A short sample runs always;
/// BACKYARD_SENTINEL_DAMAGES=2000
/// tries as many.
/// </summary>
public sealed class DamagedStoreTests : IDisposable
{
    // In memory where that can be had: hundreds of stores, each written through to the disk, would take the disk's time.
    private readonly string _folder = Directory.CreateDirectory(
        Path.Combine(Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(), $"damaged-store-{Guid.NewGuid():n}")).FullName;

    /// <summary>The seed of a bit that makes an empty text of a 0, which SQLite reads as 0.</summary>
    private const int NothingOfZero = 420;

    private string Store => Path.Combine(_folder, "garden.db");

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void No_damage_goes_without_a_word_and_nothing_is_saved_that_was_not_written()
    {
        var rounds = LongRun.Asked("DAMAGES") ?? 24;
        var sound = Path.Combine(_folder, "sound.db");
        SampleStore.Make(sound, hours: 24 * 12);
        var bytes = File.ReadAllBytes(sound);
        var before = SampleStore.Dump(sound);
        int told = 0, harmless = 0, readings = 0, saved = 0;
        foreach (var seed in Enumerable.Range(0, rounds).Append(NothingOfZero))
        {
            Clean();
            var damaged = Damage(bytes, new Random(seed), out var what);
            File.WriteAllBytes(Store, damaged);
            List<StoreDamage> damages = [];
            StoreRescue.Open(Store, SampleStore.Begin, SampleStore.Clock, damages.Add).Dispose();
            var after = SampleStore.Dump(Store);
            File.WriteAllBytes(Store + ".other", damaged);
            var started = SampleStore.Start(Store + ".other", SampleStore.Begin);
            Assert.True(
                (started.Count, true) == (damages.Count, SampleStore.Dump(Store + ".other").SetEquals(after)),
                $"seed {seed}, {what}: a start that judges meanwhile finds {started.FirstOrDefault()?.Fault ?? "nothing"} "
                    + $"instead of {damages.FirstOrDefault()?.Fault ?? "nothing"}");
            var altered = after.Except(before).ToList();
            Assert.True(altered.Count == 0, $"seed {seed}, {what}: says {altered.FirstOrDefault()}");
            if (damages.Count == 0)
            {
                Assert.True(
                    after.Count == before.Count,
                    $"seed {seed}, {what}: {before.Count - after.Count} rows are gone without a word, "
                        + $"such as {before.Except(after).FirstOrDefault()}");
                harmless++;
                continue;
            }

            told++;
            readings += before.Count;
            saved += after.Count;
            var kept = Assert.Single(damages).Kept;
            Assert.True(
                File.ReadAllBytes(kept).AsSpan().SequenceEqual(damaged), $"seed {seed}, {what}: the kept file is not the damaged one");
            List<StoreDamage> again = [];
            StoreRescue.Open(Store, null, SampleStore.Clock, again.Add).Dispose();
            Assert.True(again.Count == 0, $"seed {seed}, {what}: damaged once more: {again.FirstOrDefault()?.Fault}");
        }

        LongRun.Tell(
            $"{rounds} damages: {told} told, {harmless} changed nothing that is said; "
                + $"of the rows in those told {100.0 * saved / Math.Max(1, readings):0.0} % were saved.");
        Assert.True(told > rounds / 4, $"{told} of {rounds} told");
    }

    [Fact]
    public void A_changed_bit_within_a_value_is_found_and_costs_that_row_only()
    {
        SampleStore.Make(Store, hours: 48);
        var before = SampleStore.Dump(Store);
        SampleStore.Tamper(
            Store, $"update readings set value = value + 0.5 where time_ms = {SampleStore.Begin.AddHours(7).ToUnixTimeMilliseconds()}");
        List<StoreDamage> damages = [];
        StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add).Dispose();
        var damage = Assert.Single(damages);
        Assert.Equal("1 reading differs from what was written", damage.Fault);
        Assert.Equal(1, damage.Lost);
        Assert.Equal(SampleStore.Begin.AddHours(7), damage.From);
        Assert.Equal(SampleStore.Begin.AddHours(8), damage.To);
        Assert.Single(before.Except(SampleStore.Dump(Store)));
        Assert.StartsWith(
            "The store was damaged when the service started at 2027-04-02 00:00: 1 reading differs from what was written. "
                + "1727 readings were saved into a new one, 1 were lost between 2027-02-01 07:00 and 2027-02-01 "
                + "08:00. The damaged file is kept as ",
            damage.Sentence(TimeZoneInfo.Utc),
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("delete from readings where time_ms % 3600000 = 0", "46 readings are missing")]
    [InlineData("delete from journal where number = 2", "1 row of journal is missing")]
    [InlineData("update journal set planting = 'nectarine' where number = 2", "1 row of journal differs from what was written")]
    [InlineData("update series set name = 'yard/temperature/b' where id = 1", "1 row of series differs from what was written")]
    [InlineData("update outbox set state = 'delivered'", "7 rows of outbox differ from what was written")]
    [InlineData("alter table outages rename column from_ms to began", "its table or trigger outages is not as it was made")]
    public void A_row_that_is_lost_or_other_is_told(string sql, string fault)
    {
        SampleStore.Make(Store, hours: 48);
        SampleStore.Tamper(Store, sql);
        File.Copy(Store, Store + ".other");
        Assert.StartsWith(fault, Assert.Single(SampleStore.Start(Store + ".other")).Fault, StringComparison.Ordinal);
        List<StoreDamage> damages = [];
        using var store = StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add);
        Assert.StartsWith(fault, Assert.Single(damages).Fault, StringComparison.Ordinal);
        Assert.Equal(damages[0], store.Damage());
    }

    [Fact]
    public void A_store_large_enough_for_several_cores_is_looked_over_from_end_to_end()
    {
        SampleStore.Make(Store, hours: 24 * 30);
        List<StoreDamage> damages = [];
        using (var store = StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add))
        {
            Assert.Empty(damages);
            Assert.Equal(store.ReadSeason().Max(row => row.ReceivedUs), store.LastReceivedUs());
        }

        var hours = string.Join(", ", new[] { 1, 350, 700 }.Select(hour => SampleStore.Begin.AddHours(hour).ToUnixTimeMilliseconds()));
        SampleStore.Tamper(Store, $"update readings set value = value + 500 where time_ms in ({hours})");
        SampleStore.Tamper(Store, $"delete from readings where time_ms - 1800000 in ({hours})");
        File.Copy(Store, Store + ".other");
        Assert.Equal(
            "3 readings differ from what was written; 3 readings are missing", Assert.Single(SampleStore.Start(Store + ".other")).Fault);
        // Of the last part alone.
        SampleStore.Make(Store + ".third", hours: 24 * 30);
        SampleStore.Tamper(
            Store + ".third", $"delete from readings where time_ms = {SampleStore.Begin.AddHours(700).ToUnixTimeMilliseconds()}");
        Assert.Equal("1 reading is missing", Assert.Single(SampleStore.Start(Store + ".third")).Fault);
        StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add).Dispose();
        Assert.Equal("3 readings differ from what was written; 3 readings are missing", Assert.Single(damages).Fault);
    }

    [Fact]
    public void A_row_in_which_nothing_stands_where_something_must_is_damage()
    {
        const string Column = "at integer not null", Without = "at integer";
        SampleStore.Make(Store, hours: 48);
        SampleStore.Tamper(
            Store, $"{Schema(Column, Without)} update events set at = null where key like '%/50'; {Schema(Without, Column)}");

        using (var store = SentinelStore.Reading(Store))
        {
            var failure = Assert.Throws<Microsoft.Data.Sqlite.SqliteException>(() => store.Events());
            Assert.Equal(11, failure.SqliteErrorCode);
        }

        List<StoreDamage> damages = [];
        StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add).Dispose();
        Assert.Equal("its pages do not fit together", Assert.Single(damages).Fault);

        static string Schema(string from, string to) => "pragma writable_schema = 1; "
            + $"update sqlite_master set sql = replace(sql, '{from}', '{to}') where name = 'events'; pragma writable_schema = reset;";
    }

    [Fact]
    public void Whoever_has_the_damaged_file_open_neither_writes_into_it_nor_takes_the_log_of_the_new_one_away()
    {
        SampleStore.Make(Store, hours: 48);
        using var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={Store};Pooling=False;Default Timeout=1");
        other.Open();
        Assert.Equal(3L, Run("select count(*) from series"));
        SampleStore.BreakPage(Store, "events");
        List<StoreDamage> damages = [];
        using var store = StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add);
        Assert.Single(damages);
        var at = SampleStore.Begin.AddDays(40).ToUnixTimeMilliseconds();
        store.Commit(new StoreBatch { Readings = { new StoredReading(store.SeriesId("yard/temperature/a"), at, 7.5, at * 1000) } });

        var refusal = Assert.Throws<Microsoft.Data.Sqlite.SqliteException>(() => Run("begin immediate"));
        other.Close();

        Assert.Equal(5, refusal.SqliteErrorCode);
        Assert.True(File.Exists(Store + "-wal"));
        using var again = SentinelStore.Reading(Store);
        Assert.Equal(7.5, again.ReadSeason().Last().Value);

        object? Run(string sql)
        {
            using var command = other.CreateCommand();
            command.CommandText = sql;
            return command.ExecuteScalar();
        }
    }

    [Fact]
    public void Commits_that_a_spoilt_file_beside_the_store_would_lose_are_told()
    {
        for (var seed = 0; seed < 6; seed++)
        {
            Clean();
            SampleStore.Make(Store, hours: 24);
            using (var store = SentinelStore.Open(Store))
            {
                SampleStore.Fill(store, Store, hours: 24, fromHour: 24);
                File.Copy(Store, Store + ".copy");
                File.Copy(Store + "-wal", Store + ".copy-wal");
            }

            var copy = Store + ".copy";
            var expected = SampleStore.Dump(Store);
            var wal = File.ReadAllBytes(copy + "-wal");
            var random = new Random(seed);
            wal[random.Next(wal.Length * 3 / 4)] ^= (byte)(1 << random.Next(8));
            File.WriteAllBytes(copy + "-wal", wal);
            List<StoreDamage> damages = [];
            StoreRescue.Open(copy, null, SampleStore.Clock, damages.Add).Dispose();
            var after = SampleStore.Dump(copy);
            Assert.DoesNotContain(
                after.Except(expected),
                line => !line.StartsWith("totals", StringComparison.Ordinal) && !line.StartsWith("meta", StringComparison.Ordinal));
            Assert.True(damages.Count == 1 || after.SetEquals(expected), $"seed {seed}");
        }
    }

    [Fact]
    public void A_power_cut_that_leaves_half_a_commit_is_no_damage()
    {
        SampleStore.Make(Store, hours: 24);
        using (var store = SentinelStore.Open(Store))
        {
            SampleStore.Fill(store, Store, hours: 2, fromHour: 24);
            File.Copy(Store, Store + ".copy");
            File.Copy(Store + "-wal", Store + ".copy-wal");
        }

        using (var wal = File.OpenWrite(Store + ".copy-wal")) wal.SetLength(wal.Length - 3000);
        StoreRescue.Open(Store + ".copy", null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
    }

    [Fact]
    public void Moving_that_a_power_cut_broke_off_is_taken_up_again()
    {
        SampleStore.Make(Store, hours: 24);
        var expected = SampleStore.Dump(Store);
        var aside = Store + ".damaged-20270401T000000Z";
        File.Move(Store, aside + ".saved");
        File.WriteAllText(Store, "damaged");
        File.WriteAllText(Store + "-wal", "of the damaged one");
        StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
        Assert.Equal("damaged", File.ReadAllText(aside));
        Assert.Equal("of the damaged one", File.ReadAllText(aside + "-wal"));
        Assert.True(SampleStore.Dump(Store).SetEquals(expected));
    }

    [Theory]
    [InlineData(0, "it is an empty file")]
    [InlineData(3000, "it cannot be opened")]
    public void A_file_of_which_next_to_nothing_is_left_is_no_new_store(int bytes, string fault)
    {
        SampleStore.Make(Store, hours: 24);
        using (var file = File.OpenWrite(Store)) file.SetLength(bytes);
        List<StoreDamage> damages = [];
        StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add).Dispose();
        Assert.StartsWith(fault, Assert.Single(damages).Fault, StringComparison.Ordinal);
        Assert.Null(damages[0].Lost);
        Assert.Equal(bytes, new FileInfo(damages[0].Kept).Length);
    }

    [Fact]
    public void A_file_that_never_was_a_store_is_left_alone()
    {
        File.WriteAllText(Store, new string('x', 50_000));
        var refusal = Assert.Throws<StoreException>(
            () => StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)));
        Assert.Contains("not a database", refusal.Message, StringComparison.Ordinal);
        Assert.Equal([Store], Directory.GetFiles(_folder));
    }

    /// <summary>A file that cannot be opened is one of ours where the name of a column of ours stands in it, wherever that is.</summary>
    [Fact]
    public void A_file_of_ours_is_known_by_a_name_within_it_wherever_that_stands()
    {
        const int Block = 1 << 20;
        foreach (var at in (int[])[0, Block - 12, Block - 11, Block - 10, Block - 1, Block, (2 * Block) - 20, (2 * Block) - 5])
        {
            Clean();
            File.WriteAllText(Store, new string('x', at) + "received_us" + new string('y', 99));
            List<StoreDamage> damages = [];
            // What was left of an earlier try makes no difference.
            File.WriteAllText($"{Store}.damaged-20270402T000000Z.half", "half");
            StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add).Dispose();
            Assert.StartsWith("it cannot be opened (", Assert.Single(damages).Fault, StringComparison.Ordinal);
            Assert.Equal(at + 110, new FileInfo(damages[0].Kept).Length);
            Assert.Empty(Directory.GetFiles(_folder, "*.half"));
            Clean();
            File.WriteAllText(Store, new string('x', at) + "received_uz" + new string('y', 99));
            Assert.Throws<StoreException>(() => StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add));
        }
    }

    private void Clean()
    {
        foreach (var file in Directory.GetFiles(_folder, "garden.db*"))
            File.Delete(file);
    }

    /// <summary>
    /// What a worn card, a power cut or a bad cable does: bits, bytes, sectors and pages that change, go, move or grow old.
    /// </summary>
    private static byte[] Damage(byte[] sound, Random random, out string what)
    {
        const int Page = 4096, Sector = 512;
        var bytes = (byte[])sound.Clone();
        var pages = bytes.Length / Page;
        switch (random.Next(8))
        {
            case 0 or 1 or 2:
                var bit = random.Next(bytes.Length * 8);
                bytes[bit / 8] ^= (byte)(1 << (bit % 8));
                what = $"bit {bit}";
                break;
            case 3:
                var page = random.Next(pages);
                bytes.AsSpan(page * Page, Page).Clear();
                what = $"page {page} zeroed";
                break;
            case 4:
                var sector = random.Next(bytes.Length / Sector);
                random.NextBytes(bytes.AsSpan(sector * Sector, Sector));
                what = $"sector {sector} torn";
                break;
            case 5:
                var length = random.Next(bytes.Length);
                Array.Resize(ref bytes, length);
                what = $"cut off at {length}";
                break;
            case 6:
                var (from, to) = (random.Next(pages), random.Next(pages));
                bytes.AsSpan(from * Page, Page).CopyTo(bytes.AsSpan(to * Page));
                what = $"page {from} over {to}";
                break;
            default:
                var start = random.Next(bytes.Length - 16);
                bytes.AsSpan(start, 16).Fill(0xFF);
                what = $"sixteen bytes at {start} set";
                break;
        }

        return bytes;
    }
}
