using BackyardSentinel.Live;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Storage;

// What a store keeps, gives back and forgets: at its limits and just beside them.
public sealed class StoreEdgesTests : IDisposable
{
    // In memory where that can be had: what is asked here is not whether a disk keeps it.
    private readonly string _folder = Directory.CreateDirectory(
        Path.Combine(Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(), $"store-edges-{Guid.NewGuid():n}")).FullName;

    private static readonly DateTimeOffset Begin = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    private string File => Path.Combine(_folder, "garden.db");

    public void Dispose() => Directory.Delete(_folder, true);

    private static StoredReading Reading(int series, DateTimeOffset at, double value, double latencySeconds = 0) =>
        new(series, at.ToUnixTimeMilliseconds(), value, (at.ToUnixTimeMilliseconds() * 1000) + (long)(latencySeconds * 1e6));

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

    [Theory]
    [InlineData(12, 24, true)]
    [InlineData(11, 24, false)]
    [InlineData(12, 400, true)] // The day after the moment is looked at.
    [InlineData(11, 400, false)]
    [InlineData(3, 6, true)]
    [InlineData(2, 6, false)]
    public void Half_of_the_hours_of_a_day_with_readings_are_time_that_was_lived_through(int withReadings, int hours, bool livedOn)
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        for (var hour = 0; hour < withReadings; hour++)
        {
            batch.Readings.Add(Reading(1, Begin.AddHours(hour).AddMinutes(1), 5));
            batch.Readings.Add(Reading(1, Begin.AddHours(hour).AddMinutes(31), 5));
        }

        // The moment itself, and what comes later, is not of that time.
        batch.Readings.Add(Reading(1, Begin, 5));
        batch.Readings.Add(Reading(1, Begin.AddHours(Math.Min(24, hours)).AddMilliseconds(1), 5));
        store.Commit(batch);
        Assert.Equal(livedOn, store.LivedOn(Begin, Begin.AddHours(hours)));
    }

    [Fact]
    public void First_and_last_times_are_those_of_the_readings_and_of_what_was_refused()
    {
        using var store = SentinelStore.Open(File);
        Assert.Equal((null, 0L, 0L), (store.FirstTime(), store.LastTimeMs(), store.LastReceivedUs()));
        var batch = new StoreBatch();
        batch.Readings.Add(Reading(1, Begin.AddHours(1), 5, 7));
        batch.Readings.Add(Reading(1, Begin, 5, 9));
        store.Commit(batch);
        var ms = Begin.AddHours(1).ToUnixTimeMilliseconds();
        var us = (ms * 1000) + 7_000_000;
        Assert.Equal((Begin, ms, us), (store.FirstTime(), store.LastTimeMs(), store.LastReceivedUs()));
        batch.Clear();
        batch.Quarantine.Add(new QuarantinedMessage("t", $"no number", us + 5, []));
        store.Commit(batch);
        Assert.Equal(us + 5, store.LastReceivedUs());
    }

    [Fact]
    public void A_message_is_found_by_its_id_before_one_of_its_episode_and_all_that_it_tells_is_known()
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        batch.Outbox.Add(new OutboxRow("a", "phone", "b", 1, 2, """{"facts":{"tells":"x\ny"}}"""));
        batch.Outbox.Add(new OutboxRow("b", "phone", "c", 1, 2, """{"facts":{"tells":7}}"""));
        batch.Outbox.Add(new OutboxRow("d", "phone", "e", 1, 2, "{"));
        store.Commit(batch);
        Assert.Equal(["""{"facts":{"tells":7}}""", """{"facts":{"tells":7}}""", "{", null], Found("b", "c", "e", "z"));
        Assert.Equal(["a", "b", "d", "x", "y"], store.AlertIds().Order());

        IEnumerable<string?> Found(params string[] names) => names.Select(store.AlertMessage);
    }

    [Fact]
    public void Hours_keep_what_their_readings_came_to_also_for_what_comes_late()
    {
        // Readings of four hours in any order and in batches of any size: what the hours hold comes to what is there.
        for (var seed = 0; seed < 20; seed++)
        {
            var random = new Random(seed);
            var path = Path.Combine(_folder, $"{seed}.db");
            using (var store = SentinelStore.Open(path))
            {
                var batch = new StoreBatch();
                for (var i = 0; i < 60; i++)
                {
                    var at = Begin.AddMinutes(random.Next(7 * 60));
                    batch.Readings.Add(Reading(1 + random.Next(2), at, random.Next(300) * 0.1, random.Next(99)));
                    if (random.Next(5) > 0)
                        continue;
                    store.Commit(batch);
                    batch.Clear();
                }

                store.SeriesId("a");
                store.SeriesId("b");
                store.Commit(batch);
            }

            StoreRescue.Open(path, null, SampleStore.Clock, damage => Assert.Fail($"seed {seed}: {damage.Fault}")).Dispose();
        }
    }

    [Fact]
    public void Hourly_values_are_asked_for_from_a_moment_to_a_moment()
    {
        using var store = SentinelStore.Open(File);
        var series = store.SeriesId("yard/rain/a");
        var batch = new StoreBatch();
        foreach (var minute in (int[])[0, 14, 15, 59, 60, 150])
            batch.Readings.Add(Reading(series, Begin.AddMinutes(minute), minute));
        store.Commit(batch);
        while (store.GrowOld(Begin.AddDays(1), 0, (_, value) => value == 14 ? null : value))
        {
        }

        var hour = Begin.ToUnixTimeSeconds() / 3600;
        StoredHour[] all =
        [
            new(series, hour, 0, 24.667, 59, 74, 3, 3), new(series, hour + 1, 60, 60, 60, 60, 1, 1),
            new(series, hour + 2, 150, 150, 150, 150, 1, 1),
        ];
        Assert.Equal(all, store.ReadHours());
        Assert.Equal(all, store.ReadHours(Begin));
        Assert.Equal(all[1..], store.ReadHours(Begin.AddMilliseconds(1)));
        Assert.Equal(all[..1], store.ReadHours(to: Begin.AddHours(1)));
        Assert.Equal(all[..2], store.ReadHours(to: Begin.AddHours(1).AddMilliseconds(1)));
        Assert.Equal((Begin, Begin.AddHours(3)), (all[0].Start, store.HourlyUntil()));
    }

    [Fact]
    public void Nothing_grows_old_before_there_are_hours_enough_after_the_day_it_would_be_of()
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        // Hours are counted that are over: not the last two.
        for (var hour = 0; hour < 48 + 7; hour++)
            batch.Readings.Add(Reading(store.SeriesId("a"), Begin.AddHours(hour), 5));
        store.Commit(batch);
        Assert.False(store.GrowOld(Begin.AddDays(2).AddHours(23), 6, (_, value) => value));
        Assert.Null(store.HourlyUntil());
        Assert.True(store.GrowOld(Begin.AddDays(2).AddHours(23), 5, (_, value) => value));
        Assert.Equal(Begin.AddDays(2), store.HourlyUntil());
    }

    [Fact]
    public void A_piece_that_grows_old_holds_some_two_thousand_readings()
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        foreach (var hour in Enumerable.Range(0, 3))
        {
            for (var i = 0; i < 1000; i++)
                batch.Readings.Add(Reading(store.SeriesId($"s{i % 250}"), Begin.AddHours(hour).AddMinutes(i / 250), 5));
        }

        store.Commit(batch);
        // Of an hour two hundred series at most: eight hundred readings, then two hundred.
        List<int> left = [];
        while (store.GrowOld(Begin.AddDays(1), 0, (_, value) => value))
            left.Add(store.ReadSeason().Count());
        Assert.Equal([1000, 0], left.Select(count => count));
        Assert.Equal(750, store.ReadHours().Count());
    }

    [Fact]
    public void What_was_stamped_by_a_clock_that_was_ahead_is_set_aside_or_counts_at_its_own_time()
    {
        var limit = Begin.AddMinutes(10);
        using (var store = SentinelStore.Open(File))
        {
            var series = store.SeriesId("yard/rain/a");
            var batch = new StoreBatch();
            batch.Readings.Add(Reading(series, Begin.AddHours(-30), 1));
            batch.Readings.Add(Reading(series, Begin.AddHours(-1), 2, 3600 + 600));
            batch.Readings.Add(Reading(series, Begin.AddMinutes(-30), 3, 1800 + 600.001));
            batch.Readings.Add(Reading(series, limit, 4));
            batch.Readings.Add(Reading(series, limit.AddMilliseconds(1), 5));
            batch.Totals.Add(new StoredTotal(series, 7, limit.AddMilliseconds(1).ToUnixTimeMilliseconds()));
            batch.Events.Add(new StoredEvent("stays", limit.ToUnixTimeMilliseconds()));
            batch.Events.Add(new StoredEvent("goes", limit.AddMilliseconds(1).ToUnixTimeMilliseconds()));
            batch.Quarantine.Add(new QuarantinedMessage("t", $"no number", (limit.ToUnixTimeMilliseconds() * 1000) + 1, []));
            foreach (var (id, ms) in (ReadOnlySpan<(string, int)>)[("a", 0), ("b", 1)])
                batch.Outbox.Add(new OutboxRow(id, "phone", id, limit.AddMilliseconds(ms).ToUnixTimeMilliseconds(), long.MaxValue, "{}"));
            store.Commit(batch);
            store.AddOutage(limit);
            store.AddOutage(limit.AddMilliseconds(1));
            store.NoteListened(limit.AddMilliseconds(1));
            Assert.Equal((1L, 1L), store.SetAside(Begin, limit));
            Assert.Equal([1.0, 2, 3, 4], store.ReadSeason().Select(row => row.Value));
            // Restamped to now, which is after its own time.
            Assert.Equal(
                [Begin.AddHours(-30), limit, Begin.AddMinutes(-30), limit],
                store.ReadSeason().Select(row => DateTimeOffset.UnixEpoch.AddTicks(row.ReceivedUs * 10)));
            Assert.Equal([new StoredTotal(series, 7, Begin.ToUnixTimeMilliseconds())], store.Totals());
            Assert.Equal(["stays"], store.Events().Select(one => one.Key));
            Assert.Equal([limit], store.Outages());
            Assert.Null(store.Listened());
            Assert.Equal(Begin.ToUnixTimeMilliseconds() * 1000, store.Quarantine()[0].ReceivedUs);
        }

        using (var outbox = OutboxStore.Open(File))
            Assert.Equal(
                [("b", OutboxState.ExpiredReported), ("a", OutboxState.Waiting)], outbox.Rows().Select(row => (row.Id, row.State)));
        StoreRescue.Open(File, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
    }

    [Fact]
    public void Notes_of_a_time_that_no_clock_has_shown_are_none()
    {
        using (var store = SentinelStore.Open(File))
        {
            store.NoteListened(Begin);
            Assert.Equal(Begin, store.Listened());
            Assert.Null(store.LastBackup());
        }

        SampleStore.Change(File, "insert into meta(key, value) values('backup', 1801440000000)");
        using (var store = SentinelStore.Open(File))
            Assert.Equal(Begin, store.LastBackup());
        SampleStore.Change(File, "update meta set value = 221845392000001 where key in ('backup', 'listened')");
        using (var store = SentinelStore.Open(File))
            Assert.Equal((null, null), (store.LastBackup(), store.Listened()));
    }

    [Theory]
    [InlineData(0, 0, "0 readings of 0 series, 0 lines of the journal, 0 messages")]
    [InlineData(1, 1, "1 reading of 1 series from 2027-02-01 to 2027-02-01, 1 line of the journal, 1 message")]
    [InlineData(2, 3, "6 readings of 2 series from 2027-02-01 to 2027-02-03, 2 lines of the journal, 2 messages")]
    public void A_store_is_summed_up_in_a_sentence(int of, int days, string sentence)
    {
        using (var store = SentinelStore.Open(File))
        {
            var batch = new StoreBatch();
            for (var i = 0; i < of; i++)
            {
                for (var day = 0; day < days; day++)
                    batch.Readings.Add(Reading(store.SeriesId($"s{i}"), Begin.AddDays(day), 5));
                batch.Outbox.Add(new OutboxRow($"a{i}", "phone", "e", 1, 2, "{}"));
            }

            store.Commit(batch);
            using var journal = JournalBook.Beside(File);
            for (var i = 0; i < of; i++)
                journal.Add(new PickEntry(0, "yard", "peach", new DateOnly(2027, 2, 1)), Begin);
        }

        Assert.Equal(sentence, StoreBackup.Check(File).Holds.Text(TimeZoneInfo.Utc));
    }

    [Fact]
    public void What_became_of_a_damaged_store_is_told_as_far_as_it_is_known()
    {
        var damage = new StoreDamage(Begin, "garden.db.damaged", "it is torn", 5, 0, null, null, "");
        const string kept = "The store was damaged when the service started at 2027-02-01 00:00: it is torn. "
            + "5 readings were saved into a new one, ";
        const string look = "The damaged file is kept as garden.db.damaged. Look through 'journal list'; where you have a newer backup, "
            + "'restore' brings it back. If it happens again the disk or card is failing.";
        Assert.Equal(
            kept + "none was lost. The damaged file is kept as garden.db.damaged. Nothing needs doing now; if it happens again the disk or "
                + "card is failing.",
            damage.Sentence(TimeZoneInfo.Utc));
        Assert.Equal(
            kept + "none was lost; lost with it: 1 event. " + look, (damage with { Others = "1 event" }).Sentence(TimeZoneInfo.Utc));
        Assert.Equal(kept + "how many were lost is not known. " + look, (damage with { Lost = null }).Sentence(TimeZoneInfo.Utc));
        Assert.Equal(kept + "3 were lost. " + look, (damage with { Lost = 3, From = Begin }).Sentence(TimeZoneInfo.Utc));
        Assert.Equal(
            kept + "3 were lost between 2027-02-01 00:00 and 2027-02-01 01:00. " + look,
            (damage with { Lost = 3, From = Begin, To = Begin.AddHours(1) }).Sentence(TimeZoneInfo.Utc));
    }

    [Fact]
    public void Just_what_would_steer_a_terminal_is_shown_as_its_code()
    {
        for (var letter = '\0'; letter < char.MaxValue; letter++)
        {
            var steers = char.IsControl(letter) || letter is '\u061C' or '\u200E' or '\u200F'
                || letter is >= '\u2028' and <= '\u202E' || letter is >= '\u2066' and <= '\u2069';
            Assert.Equal(steers ? $"a\\u{(int)letter:X4}b" : $"a{letter}b", TerminalText.Plain($"a{letter}b"));
        }
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
