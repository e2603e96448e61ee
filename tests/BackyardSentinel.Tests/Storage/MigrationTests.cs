using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

public sealed class MigrationTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("old-store").FullName;

    private string Store => Path.Combine(_folder, "garden.db");

    public static TheoryData<int> Versions => [.. OldStores.Versions];

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [MemberData(nameof(Versions))]
    public void A_store_of_each_earlier_version_is_brought_up_to_date_and_says_the_same(int version)
    {
        OldStores.Make(Store, version);
        var before = SampleStore.Dump(Store);
        using (var store = StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)))
        {
            Assert.Equal([7.5, 8, 8.25, 0.2], store.ReadSeason().Select(row => row.Value));
            Assert.Equal(0, store.DamagedReadings);
            Assert.Equal([new StoredTotal(2, 12.4, 1801458000000)], store.Totals());
            Assert.Equal(["yard/peach/window/1"], store.Events().Select(one => one.Key));
            Assert.Equal("ABC", System.Text.Encoding.UTF8.GetString(Assert.Single(store.Quarantine()).Payload));
            Assert.Equal(version > 2 ? 77 : null, store.Quarantine()[0].Value);
            Assert.Equal(version > 2 ? 1 : 0, store.Outages().Count);
            Assert.Equal(version > 3 ? [new StoredDelivery(1, 7, -12345, false)] : [], store.Deliveries());
            using var book = JournalBook.Beside(Store);
            Assert.Equal(version > 1 ? 1 : 0, book.Rows().Count);
            Assert.Equal(version > 1 ? 2 : 1, book.Add(new PickEntry(0, "yard", "peach", new DateOnly(2027, 3, 1)), SampleStore.Begin));
        }

        // Each row is there as it was, with its sum behind it, and a second look finds nothing to say.
        var after = SampleStore.Dump(Store);
        var kept = before
            .Where(line => !line.StartsWith("meta: schema", StringComparison.Ordinal))
            .Select(line => line.Replace("|yard|{}", "", StringComparison.Ordinal));
        foreach (var line in kept)
            Assert.Contains(after, now => now.StartsWith(line, StringComparison.Ordinal));
        StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
    }

    [Fact]
    public void A_time_that_no_clock_has_shown_is_left_behind()
    {
        OldStores.Make(Store, 4, "insert into readings values(9000000000000000000, 1, 5, 1), (1801440000001, 1, 5, -7)");
        using var store = SentinelStore.Open(Store);
        Assert.Equal(4, store.ReadSeason().Count());
    }

    /// <summary>What was damaged before must not look sound afterwards.</summary>
    [Theory]
    [InlineData("update readings set value = 9 where time_ms = 1801443600000", "1 reading differs from what was written")]
    [InlineData(
        "update readings set received_us = -9000000000000000000 where time_ms = 1801443600000", "1 reading differs from what was written")]
    [InlineData("delete from readings where time_ms = 1801443600000", "1 reading is missing")]
    public void A_damage_of_the_earlier_version_is_told_all_the_same(string sql, string fault)
    {
        OldStores.Make(Store, 6, sql);
        List<StoreDamage> damages = [];
        using var store = StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add);
        Assert.Equal(fault, Assert.Single(damages).Fault);
        Assert.Equal([7.5, 8.25, 0.2], store.ReadSeason().Select(row => row.Value));
    }

    /// <summary>A file whose first page is gone cannot be brought up to date; what is read of it row by row is of that version.</summary>
    [Fact]
    public void What_is_saved_of_a_damaged_store_of_the_earlier_version_says_the_same()
    {
        OldStores.Make(Store, 6);
        SampleStore.Tamper(Store, "drop table totals");
        List<StoreDamage> damages = [];
        using var store = StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add);
        Assert.Single(damages);
        Assert.Equal(
            [(7.5, 1801440000000001), (8, 1801443600000001), (8.25, 1801454400000001), (0.2, 1801458000000001)],
            store.ReadSeason().Select(row => (row.Value, row.ReceivedUs)));
    }

    /// <summary>Every value comes back as it was, whether three decimals say it or not.</summary>
    [Fact]
    public void A_value_comes_back_as_the_very_number_it_was()
    {
        double[] values =
        [
            0,
            0.1,
            0.2,
            0.1 + 0.2,
            -40,
            21.53,
            1 / 3.0,
            99.999,
            99.9999,
            1e8,
            1e12,
            123456789.123,
            -0.001,
            5e-324,
            double.MaxValue,
            (70.3 - 32) * 5 / 9,
            .. Enumerable.Range(-6000, 12000).Select(n => n / 100.0), .. Enumerable.Range(0, 2000).Select(n => 0.2 * n),
        ];
        using (var store = SentinelStore.Open(Store))
        {
            var series = store.SeriesId("yard/temperature/t");
            var batch = new StoreBatch();
            batch.Readings.AddRange(
                values.Select((value, i) => new StoredReading(series, 1801440000000 + i, value, 1801440000000000 + (i * 1001) - 5)));
            store.Commit(batch);
        }

        using var again = SentinelStore.Reading(Store);
        Assert.Equal(values, again.ReadSeason().Select(row => row.Value));
        Assert.Equal(values.Select((_, i) => 1801440000000000 + (i * 1001) - 5), again.ReadSeason().Select(row => row.ReceivedUs));
        Assert.Equal(0, again.DamagedReadings);
    }

    [Fact]
    public void A_step_that_fails_leaves_the_file_as_it_was()
    {
        // A table in the step's way stands for a disk that fills up or a power cut.
        OldStores.Make(Store, 3, "create table old_journal(x)");
        var before = SampleStore.Dump(Store);
        Assert.Throws<StoreException>(() => SentinelStore.Open(Store));
        Assert.True(SampleStore.Dump(Store).SetEquals(before));
    }

    [Fact]
    public void A_store_of_a_later_version_is_refused_in_a_sentence_and_left_as_it_was()
    {
        SentinelStore.Open(Store).Dispose();
        SampleStore.Change(Store, "update meta set value = 8 where key = 'schema'");
        var before = File.ReadAllBytes(Store);
        Action[] ways =
        [
            () => SentinelStore.Open(Store),
            () => SentinelStore.Reading(Store),
            () => StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)),
        ];
        foreach (var open in ways)
        {
            var refusal = Assert.Throws<StoreException>(open);
            Assert.EndsWith(
                "has schema 8, and this program knows 7: it was written by another version. Start that version, or name another file.",
                refusal.Message,
                StringComparison.Ordinal);
            Assert.True(refusal.IsLasting);
        }

        Assert.Equal(before, File.ReadAllBytes(Store));
    }

    [Fact]
    public void A_command_brings_no_store_up_to_date_while_a_service_of_an_earlier_version_runs()
    {
        OldStores.Make(Store, 4);
        using (StoreLock.Hold(Store))
            Assert.Contains(
                "is of an earlier version",
                Assert.Throws<StoreException>(() => JournalBook.Reading(Store)).Message,
                StringComparison.Ordinal);
        using var book = JournalBook.Reading(Store);
        Assert.Single(book.Rows());
    }

    /// <summary>CRC-32C, bit by bit as RFC 3720 appendix B.4 gives it, with the order of bytes of the store's sums.</summary>
    [Fact]
    public void The_sums_are_crc_32c()
    {
        // RFC 3720, B.4: 32 bytes of zeroes give AA 36 91 8A in the order of the wire.
        Assert.Equal(0x8A9136AAu, ~SampleStore.Crc(uint.MaxValue, new byte[32]));
        SampleStore.Make(Store, 24);
        using var connection = new SqliteConnection($"Data Source={Store};Pooling=False");
        connection.Open();
        connection.CreateFunction("row_sum", (object?[] values) => SampleStore.Sum(values));
        foreach (var table in (string[])["readings", "totals", "deliveries", "journal", "outbox", "events", "quarantine", "meta", "series"])
        {
            using var columns = connection.CreateCommand();
            columns.CommandText = $"select group_concat(name, ', ') from (select name from pragma_table_info('{table}') "
                + "where name <> 'sum' order by cid)";
            using var command = connection.CreateCommand();
            command.CommandText = $"select count(*), sum(sum is row_sum('{table}', {columns.ExecuteScalar()})) from {table}";
            using var row = command.ExecuteReader();
            row.Read();
            Assert.True(row.GetInt64(0) > 0 && row.GetInt64(0) == row.GetInt64(1), table);
        }
    }
}
