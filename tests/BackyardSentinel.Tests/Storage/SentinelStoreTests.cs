namespace BackyardSentinel.Storage;

public sealed class SentinelStoreTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-store").FullName;

    private string File => Path.Combine(_folder, "garden.db");

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void The_name_at_the_broker_is_kept_and_the_one_before_given_back()
    {
        using var store = SentinelStore.Open(File);

        Assert.Equal([null, "one", "one", "two"], new[] { "one", "one", "two", "two" }.Select(store.ServeAs));
    }

    [Fact]
    public void Totals_that_are_made_in_another_way_than_before_are_named_once()
    {
        using var store = SentinelStore.Open(File);
        Dictionary<string, string> first = new() { ["a"] = "0.2 0 mm", ["b"] = "1 0 mm" };

        Assert.Empty(store.ForgetTotalsMadeOtherwise(first));
        Assert.Empty(store.ForgetTotalsMadeOtherwise(first));
        Dictionary<string, string> second = new(first) { ["a"] = "0.254 0 mm", ["c"] = "1 0 mm" };
        Assert.Equal(["a"], store.ForgetTotalsMadeOtherwise(second));
        Assert.Empty(store.ForgetTotalsMadeOtherwise(new Dictionary<string, string> { ["a"] = "0.254 0 mm" }));
    }

    [Fact]
    public void A_reading_is_stored_once_and_read_back_in_order_of_its_time()
    {
        using (var store = SentinelStore.Open(File))
        {
            var series = store.SeriesId("yard/temperature/a");
            var batch = new StoreBatch();
            batch.Readings.Add(new StoredReading(series, 2000, 1.5, 10));
            batch.Readings.Add(new StoredReading(series, 1000, 2.5, 11));
            batch.Readings.Add(new StoredReading(series, 2000, 9.9, 12));
            Assert.Equal([true, true, false], store.Commit(batch).Readings);
        }

        using var again = SentinelStore.Open(File);
        Assert.Equal([2.5, 1.5], again.ReadSeason().Select(reading => reading.Value));
        Assert.Equal(11, again.LastReceivedUs());
        Assert.True(again.Has(again.SeriesId("yard/temperature/a"), 1000));
        Assert.False(again.Has(again.SeriesId("yard/temperature/a"), 1001));
    }

    [Fact]
    public void Names_of_series_get_numbers_once_and_for_good_however_many_come_at_once()
    {
        Dictionary<string, int> numbers;
        using (var store = SentinelStore.Open(File))
        {
            var first = store.SeriesId("yard/temperature/a");
            store.Know(["yard/rain/b", "yard/temperature/a", "yard/rain/b", .. Enumerable.Range(0, 3000).Select(n => $"site{n}/rain/r")]);
            Assert.Equal(first, store.SeriesId("yard/temperature/a"));
            numbers = store.SeriesNames.ToDictionary(one => one.Value, one => one.Key);
            Assert.Equal(3002, numbers.Count);
        }

        using var again = SentinelStore.Open(File);
        Assert.All(numbers, one => Assert.Equal(one.Value, again.SeriesId(one.Key)));
        Assert.Equal(3002, again.SeriesNames.Count);
    }

    [Fact]
    public void A_batch_is_empty_only_while_there_is_nothing_of_any_kind_to_write()
    {
        Action<StoreBatch>[] kinds =
        [
            batch => batch.Readings.Add(new StoredReading(1, 1, 1, 1)),
            batch => batch.Totals.Add(new StoredTotal(1, 1, 1)),
            batch => batch.Events.Add(new StoredEvent("yard/x", 1)),
            batch => batch.Quarantine.Add(new QuarantinedMessage("garden/t", $"no number", 1, [])),
            batch => batch.Outbox.Add(new OutboxRow("a", "phone", "e", 1, 2, "{}")),
            batch => batch.Deliveries.Add(new StoredDelivery(1, 1, 1, false)),
            batch => batch.ForgetDeliveries = true,
        ];
        foreach (var one in kinds)
        {
            foreach (var other in kinds)
            {
                var batch = new StoreBatch();
                Assert.True(batch.IsEmpty);
                one(batch);
                Assert.False(batch.IsEmpty);
                other(batch);
                Assert.False(batch.IsEmpty);
                batch.Clear();
                Assert.True(batch.IsEmpty);
            }
        }
    }

    [Fact]
    public void Events_are_new_once_and_totals_keep_the_last()
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        batch.Events.Add(new StoredEvent("yard/-/spell-started/1", 5));
        batch.Totals.Add(new StoredTotal(1, 10, 1));
        batch.Totals.Add(new StoredTotal(1, 11, 2));
        Assert.Equal([true], store.Commit(batch).Events);
        Assert.Equal([false], store.Commit(batch).Events);
        Assert.Equal([new StoredTotal(1, 11, 2)], store.Totals());
        Assert.Equal([new StoredEvent("yard/-/spell-started/1", 5)], store.Events());
    }

    [Fact]
    public void Quarantine_counts_repeats_and_stays_bounded()
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        for (var i = 0; i < 1500; i++) batch.Quarantine.Add(new QuarantinedMessage("t", $"reason {i}", i, new byte[300]));
        batch.Quarantine.Add(new QuarantinedMessage("t", $"reason {1499}", 2000, [1]));
        store.Commit(batch);
        var kept = store.Quarantine();
        Assert.Equal(1000, kept.Count);
        Assert.Equal(2, kept[^1].Count);
        Assert.Equal(200, kept[0].Payload.Length);
    }

    [Fact]
    public void A_damaged_file_gives_a_sentence_and_is_left_alone()
    {
        System.IO.File.WriteAllText(File, new string('x', 5000));
        var failure = Assert.Throws<StoreException>(() => SentinelStore.Open(File));
        Assert.Contains("cannot be read", failure.Message, StringComparison.Ordinal);
        Assert.Equal(5000, new FileInfo(File).Length);
    }

    [Fact]
    public void A_folder_that_is_not_there_gives_a_sentence() =>
        Assert.Contains(
            "folder",
            Assert.Throws<StoreException>(() => SentinelStore.Open(Path.Combine(_folder, "no", "x.db"))).Message,
            StringComparison.Ordinal);
}
