using BackyardSentinel.Live;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Storage;

// What a store keeps and gives back.
public sealed class StoreEdgesTests : StoreBench
{
    /// <summary>What a commit that did not come about had added up is not added once more.</summary>
    [Fact]
    public void A_batch_that_is_committed_at_the_second_try_counts_once()
    {
        using (var store = SentinelStore.Open(File))
        {
            var batch = new StoreBatch();
            var (series, at) = (store.SeriesId("yard/t"), SampleStore.Begin.ToUnixTimeMilliseconds());
            for (var minute = 0; minute < 6 * 60; minute++)
                batch.Readings.Add(new StoredReading(series, at + (minute * 60_000), minute, (at + (minute * 60_000)) * 1000));
            batch.Events.Add(new StoredEvent("yard/tree/window/1", at));
            batch.Deliveries.Add(new StoredDelivery(1, 7, 7919, Waited: true));
            SampleStore.Change(File, "create trigger refuse before insert on events begin select raise(abort, 'refused'); end");
            Assert.Throws<Microsoft.Data.Sqlite.SqliteException>(() => store.Commit(batch));
            SampleStore.Change(File, "drop trigger refuse");
            store.Commit(batch);
            Assert.Equal(6 * 60, store.ReadSeason().Count());
        }

        StoreRescue.Open(File, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
    }

    [Fact]
    public void Of_refused_messages_the_last_thousand_are_kept_with_two_hundred_bytes_each()
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        byte[] bytes = [.. Enumerable.Range(0, 201).Select(n => (byte)n)];
        for (var i = 1; i <= 1001; i++)
            batch.Quarantine.Add(new QuarantinedMessage("t", $"reason {i}", i, i == 2 ? bytes[..199] : bytes) { Value = i });
        store.Commit(batch);
        var kept = store.Quarantine();
        Assert.Equal(Enumerable.Range(2, 1000).Select(i => $"reason {i}"), kept.Select(row => row.Reason.Text));
        Assert.Equal((199, 200, (byte)199), (kept[0].Payload.Length, kept[1].Payload.Length, kept[1].Payload[^1]));
        Assert.Equal((2L, 2L, 1L, 2.0), (kept[0].FirstUs, kept[0].ReceivedUs, kept[0].Count, kept[0].Value!.Value));
        // The same once more counts, with the last bytes and value; the first time stays.
        batch.Clear();
        batch.Quarantine.Add(new QuarantinedMessage("t", $"reason {2}", 5000, [7]));
        store.Commit(batch);
        var again = store.Quarantine()[^1];
        Assert.Equal((2L, 5000L, 2L, null), (again.FirstUs, again.ReceivedUs, again.Count, again.Value));
        Assert.Equal([7], again.Payload);
        // One that comes alone takes the place of the oldest.
        batch.Clear();
        batch.Quarantine.Add(new QuarantinedMessage("t", $"another reason", 5001, []));
        store.Commit(batch);
        Assert.Equal((1000, "reason 4"), (store.Quarantine().Count, store.Quarantine()[0].Reason.Text));
    }

    [Fact]
    public void The_last_ten_thousand_deliveries_are_known_until_a_session_begins_anew()
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        for (var i = 1; i <= 10_001; i++)
            batch.Deliveries.Add(new StoredDelivery(i, i % 65_535, i * 7919L, i % 2 == 0));
        store.Commit(batch);
        var known = store.Deliveries();
        Assert.Equal((10_000, 2L, 10_001L), (known.Count, known[0].Number, known[^1].Number));
        Assert.Equal(new StoredDelivery(2, 2, 2 * 7919L, true), known[0]);

        batch.Clear();
        batch.ForgetDeliveries = true;
        batch.Deliveries.Add(new StoredDelivery(10_002, 1, 1, false));
        store.Commit(batch);
        Assert.Equal([new StoredDelivery(10_002, 1, 1, false)], store.Deliveries());
    }

    [Fact]
    public void A_season_is_read_without_the_series_that_are_not_asked_for_however_many_there_are()
    {
        SeriesMap[] maps =
        [
            .. Enumerable.Range(0, 70).Select(i => new SeriesMap { SiteId = "yard", Quantity = Quantity.Rain, Topic = $"t{i}" }),
        ];
        using var store = SentinelStore.Open(File);
        store.Know(maps.Select(map => map.Name));
        var batch = new StoreBatch();
        foreach (var map in maps)
            batch.Readings.Add(Reading(store.SeriesId(map.Name), Begin, 1));
        store.Commit(batch);
        for (var left = 0; left < 70; left++)
        {
            var wanted = maps.Where((_, i) => i != left).ToList();
            Assert.Equal(
                wanted.Select(map => map.Name).Order(),
                SeriesMaps.Season(store, SeriesMaps.InStore(store, wanted)).Select(sensed => sensed.Series).Order());
            Assert.Equal([maps[left].Name], SeriesMaps.Season(store, SeriesMaps.InStore(store, [maps[left]])).Select(one => one.Series));
        }

        Assert.Empty(SeriesMaps.Season(store, SeriesMaps.InStore(store, maps), Begin.AddMilliseconds(1)));
        Assert.Equal(70, SeriesMaps.Season(store, SeriesMaps.InStore(store, maps), Begin).Count());
    }

    [Fact]
    public void All_that_messages_tell_is_known()
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        batch.Outbox.Add(new OutboxRow("a", "phone", "b", 1, 2, """{"facts":{"tells":"x\ny"}}"""));
        batch.Outbox.Add(new OutboxRow("b", "phone", "c", 1, 2, """{"facts":{"tells":7}}"""));
        batch.Outbox.Add(new OutboxRow("d", "phone", "e", 1, 2, "{"));
        store.Commit(batch);
        Assert.Equal(["a", "b", "d", "x", "y"], store.AlertIds().Order());
    }

    [Fact]
    public void What_is_forwarded_is_read_in_pages_without_a_gap_and_from_mark_to_mark()
    {
        using var store = SentinelStore.Open(File);
        using var book = ForwardBook.Open(File);
        Assert.Null(book.Read());
        var mark = new ForwardMark("http://x.example, bucket a b", 12, 3);
        book.Keep(mark);
        Assert.Equal(mark, book.Read());
        var (one, other) = (store.SeriesId("a"), store.SeriesId("b"));
        var batch = new StoreBatch();
        for (var i = 0; i < 10_001; i++)
            batch.Readings.Add(Reading(i % 2 == 0 ? one : other, Begin.AddSeconds(i / 2), i));
        store.Commit(batch);
        var (firstMs, firstUs) = (Begin.ToUnixTimeMilliseconds(), Begin.ToUnixTimeMilliseconds() * 1000);
        Assert.Equal(
            Enumerable.Range(0, 10_001).Select(i => (double)i), book.Readings(0, long.MaxValue, 0, long.MaxValue).Select(row => row.Value));
        Assert.Equal([2.0, 3], book.Readings(0, long.MaxValue, firstUs, firstUs + 1_000_000).Select(row => row.Value));
        Assert.Equal([0.0, 1], book.Readings(0, firstMs, 0, long.MaxValue).Select(row => row.Value));
        Assert.Equal([2.0, 3], book.Readings(firstMs + 1, firstMs + 1000, 0, long.MaxValue).Select(row => row.Value));
        Assert.Equal((10_001L, 9_999L, 9_999L), (book.CountAfter(0, 0), book.CountAfter(0, firstUs), book.CountAfter(firstMs + 1, 0)));
        Assert.Equal((firstUs + 5_000_000_000, 0L), (book.NewestUs(0), book.NewestUs(firstMs + 5_000_001)));
        Assert.Equal(["a", "b"], book.SeriesNames().Values);
        SampleStore.Change(File, "update meta set value = '12 x target' where key = 'forwarded'");
        Assert.Null(book.Read());
    }

    [Fact]
    public void Two_answers_of_one_moment_are_two()
    {
        using (SentinelStore.Open(File))
        {
        }

        using var book = AnswerBook.Open(File);
        Assert.Equal(0, book.LastUs());
        book.Add("e", "later", Begin.AddHours(6), Begin);
        book.Add("f", "seen", null, Begin);
        book.Add("g", "seen", null, Begin.AddHours(-1));
        var us = Begin.ToUnixTimeMilliseconds() * 1000;
        Assert.Equal(
            [
                new StoredAnswer(us, "e", "later", Begin.AddHours(6).ToUnixTimeMilliseconds()), new StoredAnswer(us + 1, "f", "seen", null),
                new StoredAnswer(us + 2, "g", "seen", null),
            ],
            book.Rows());
        Assert.Equal(us + 2, book.LastUs());
    }
}
