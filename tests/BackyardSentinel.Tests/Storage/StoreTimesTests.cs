namespace BackyardSentinel.Storage;

// When a store was lived through, listened with and stamped.
public sealed class StoreTimesTests : StoreBench
{
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
            store.Commit(new StoreBatch { Outages = { limit } });
            store.Commit(new StoreBatch { Outages = { limit.AddMilliseconds(1) } });
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
        var setAside = limit.AddMilliseconds(1).ToUnixTimeMilliseconds();
        Assert.StartsWith(
            $"readings_aside: {setAside}|1|5|{setAside * 1000}|",
            Assert.Single(SampleStore.Dump(File), line => line.StartsWith("readings_aside", StringComparison.Ordinal)),
            StringComparison.Ordinal);
        StoreRescue.Open(File, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
    }

    [Fact]
    public void An_arrival_that_is_an_empty_text_is_damage_though_it_reads_as_the_0_that_it_was()
    {
        using (var store = SentinelStore.Open(File))
            store.Commit(new StoreBatch { Readings = { Reading(1, Begin, 5) } });

        SampleStore.Tamper(File, "update readings set lag_us = ''");
        Assert.Contains("1 reading", Assert.Single(StoreBackup.Check(File).Faults), StringComparison.Ordinal);
    }

    [Fact]
    public void Readings_of_the_last_hours_that_are_gone_are_missed()
    {
        using (var store = SentinelStore.Open(File))
        {
            var batch = new StoreBatch();
            for (var i = 0; i < 12; i++)
                batch.Readings.Add(Reading(1, Begin.AddMinutes(30 * i), i));
            store.Commit(batch);
        }

        SampleStore.Tamper(File, $"delete from readings where time_ms >= {Begin.AddHours(2).ToUnixTimeMilliseconds()}");
        Assert.Contains("readings are missing", Assert.Single(StoreBackup.Check(File).Faults), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("", 3)]
    [InlineData(" where time_ms = (select min(time_ms) from readings)", 1)]
    [InlineData(" where time_ms = (select max(time_ms) from readings)", 1)]
    public void Damaged_readings_are_counted_wherever_they_lie(string which, int damaged)
    {
        using (var store = SentinelStore.Open(File))
        {
            var batch = new StoreBatch();
            for (var i = 0; i < 3; i++)
                batch.Readings.Add(Reading(1, Begin.AddMinutes(i), i));
            store.Commit(batch);
        }

        SampleStore.Tamper(File, $"update readings set value = value + 1{which}");
        using var read = SentinelStore.Reading(File);
        Assert.Equal(3 - damaged, read.ReadSeason().Count());
        Assert.Equal(damaged, read.DamagedReadings);
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
}
