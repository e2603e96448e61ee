namespace BackyardSentinel.Storage;

// The hours of a store, and what becomes of them with age.
public sealed class StoreHoursTests : StoreBench
{
    [Fact]
    public void Hours_keep_what_their_readings_came_to_also_for_what_comes_late()
    {
        // Readings of four hours in any order and in batches of any size: what the hours hold comes to what is there.
        for (var seed = 0; seed < 20; seed++)
        {
            var random = new Random(seed);
            var path = Path.Combine(Folder, $"{seed}.db");
            var store = SentinelStore.Open(path);
            try
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
                    if (random.Next(4) > 0)
                        continue;
                    // A start goes on with the hours that are not over yet.
                    store.Dispose();
                    store = SentinelStore.Open(path);
                }

                store.SeriesId("a");
                store.SeriesId("b");
                store.Commit(batch);
            }
            finally
            {
                store.Dispose();
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
}
