using BackyardSentinel.Live;
using Microsoft.Data.Sqlite;
using Serilog.Core;

namespace BackyardSentinel.Storage;

/// <summary>Readings grow old: they become hourly values, and the file stays as large as what it keeps.</summary>
public sealed class HourlyValuesTests : IDisposable
{
    // In memory where that can be had: what is asked here is not whether a disk keeps it.
    private readonly string _folder = Directory.CreateDirectory(
        Path.Combine(Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(), $"hourly-{Guid.NewGuid():n}")).FullName;

    private string Store => Path.Combine(_folder, "garden.db");

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void At_every_moment_a_reading_is_there_itself_or_in_its_hour()
    {
        SampleStore.Make(Store, hours: 24 * 6);
        var before = SampleStore.Begin.AddDays(4.9);
        List<StoredReading> all;
        using (var store = SentinelStore.Open(Store))
            all = [.. store.ReadSeason()];
        var pieces = 0;
        for (var more = true; more; pieces++)
        {
            // A service that is killed between two pieces begins where it stood; each look finds a sound store.
            using var store = StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault));
            more = store.GrowOld(before, 0, (_, value) => value);
            Assert.Equal(all.Count, store.ReadSeason().Count() + store.ReadHours().Sum(hour => hour.Readings));
            Assert.Equal(0, store.DamagedReadings);
        }

        Assert.InRange(pieces, 3, 10);
        using var old = SentinelStore.Reading(Store);
        Assert.Equal(
            SampleStore.Begin.AddDays(4), old.ReadSeason().Select(row => DateTimeOffset.FromUnixTimeMilliseconds(row.TimeMs)).First());
        Assert.Equal(SampleStore.Begin.AddDays(4), old.HourlyUntil());
        var expected = all
            .Where(row => row.TimeMs < SampleStore.Begin.AddDays(4).ToUnixTimeMilliseconds())
            .GroupBy(row => (Hour: row.TimeMs / 3_600_000, row.Series))
            .OrderBy(hour => hour.Key)
            .Select(hour => new StoredHour(
                hour.Key.Series,
                hour.Key.Hour,
                hour.Min(row => row.Value),
                Math.Round(hour.Average(row => row.Value), 3),
                hour.Max(row => row.Value),
                Math.Round(hour.Sum(row => row.Value), 3),
                12,
                4));
        Assert.Equal(expected, old.ReadHours());
        Assert.Equal(3, old.ReadHours(SampleStore.Begin.AddMinutes(30), SampleStore.Begin.AddHours(2)).Count());
    }

    [Fact]
    public void What_has_had_its_time_goes_and_what_is_still_to_be_done_stays()
    {
        SampleStore.Make(Store, hours: 24 * 4);
        using (var outbox = OutboxStore.Open(Store))
        {
            foreach (var row in outbox.Rows().Take(6))
                outbox.Mark(row with { State = OutboxState.Delivered });
        }

        using (var store = SentinelStore.Open(Store))
        {
            Assert.Equal(13, store.AlertIds().Count);
            Assert.Equal(12, store.Quarantine().Count);
            while (store.GrowOld(SampleStore.Begin.AddDays(3), 0, (_, value) => value))
            {
            }

            // Of the seven that still wait none is removed, whatever its age; of those delivered the six, all of before.
            Assert.Equal(7, store.AlertIds().Count);
            Assert.Equal(3, store.Quarantine().Count);
            Assert.All(store.Events(), one => Assert.True(one.AtMs >= SampleStore.Begin.AddDays(3).ToUnixTimeMilliseconds()));
            Assert.NotEmpty(store.Events());
            Assert.Empty(store.Outages());
        }

        using (var answers = AnswerBook.Open(Store))
            Assert.Single(answers.Rows());
        using (var journal = JournalBook.Reading(Store))
            Assert.Equal(4, journal.Rows().Count);
        StoreRescue.Open(Store, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
    }

    [Fact]
    public void A_value_that_cannot_be_is_left_out_and_one_that_comes_years_late_joins_its_hour()
    {
        using var store = SentinelStore.Open(Store);
        var series = store.SeriesId("yard/temperature/a");
        Add(1, 5, 1);
        Add(16, -127, 2);
        Add(31, 7, 3);
        Grow();
        Assert.Equal(
            new StoredHour(series, SampleStore.Begin.ToUnixTimeSeconds() / 3600, 5, 6, 7, 12, 2, 2), Assert.Single(store.ReadHours()));
        Add(20, 12, 4);
        Grow();
        Assert.Equal(
            new StoredHour(series, SampleStore.Begin.ToUnixTimeSeconds() / 3600, 5, 8, 12, 24, 3, 2), Assert.Single(store.ReadHours()));
        Assert.Empty(store.ReadSeason());

        void Add(int minute, double value, long us)
        {
            var batch = new StoreBatch();
            var at = SampleStore.Begin.AddMinutes(minute).ToUnixTimeMilliseconds();
            batch.Readings.Add(new StoredReading(series, at, value, (at * 1000) + us));
            store.Commit(batch);
        }

        void Grow()
        {
            while (store.GrowOld(SampleStore.Begin.AddDays(2), 0, (_, value) => value < -100 ? null : value))
            {
            }
        }
    }

    /// <summary>Ten times as many days pass as are kept, and all 10,000 deliveries that are remembered; pages are used again.</summary>
    [Fact]
    public void The_file_does_not_grow_with_the_years()
    {
        List<long> sizes = [];
        using (var store = SentinelStore.Open(Store))
        {
            for (var day = 0; day < 45; day++)
            {
                SampleStore.Fill(store, Store, hours: 24, fromHour: 24 * day);
                while (store.GrowOld(SampleStore.Begin.AddDays(day - 3), 0, (_, value) => value))
                {
                }

                using var connection = new SqliteConnection($"Data Source={Store};Pooling=False");
                connection.Open();
                // Without what keeps growing by intent: the hourly values, about sixty to a page.
                using var pages = connection.CreateCommand();
                pages.CommandText = "select (select page_count from pragma_page_count()) - (select count(*) / 60 from hourly)";
                sizes.Add((long)pages.ExecuteScalar()!);
            }
        }

        Assert.True(sizes[44] <= sizes[36] + 2, string.Join(' ', sizes));
    }

    [Fact]
    public void By_a_clock_that_is_years_ahead_nothing_grows_old()
    {
        var begin = new DateTimeOffset(2027, 1, 1, 0, 0, 0, TimeSpan.Zero);
        using var store = SentinelStore.Open(Store);
        var series = store.SeriesId("yard/temperature/a");
        var batch = new StoreBatch();
        for (var hour = 0; hour < 4 * 365 * 24; hour++)
        {
            var at = begin.AddHours(hour).ToUnixTimeMilliseconds();
            batch.Readings.Add(new StoredReading(series, at, hour % 30, at * 1000));
        }

        store.Commit(batch);
        var now = begin.AddDays(4 * 365);
        Turn(now.AddYears(11));
        Assert.Null(store.HourlyUntil());

        // By the right one, the first of the four years, in pieces.
        Turn(now);
        Assert.Equal(new DateTimeOffset(now.AddYears(-3).Date, TimeSpan.Zero), store.HourlyUntil());
        Assert.Equal(4 * 365 * 24, store.ReadSeason().Count() + store.ReadHours().Count());

        void Turn(DateTimeOffset at)
        {
            var old = new OldReadings(store, 3, Logger.None);
            for (var second = 0; second < 60; second++)
                old.Look(at.AddSeconds(second));
        }
    }

    [Fact]
    public void A_changed_bit_in_an_hourly_value_is_told_and_the_value_is_not_given()
    {
        SampleStore.Make(Store, hours: 48);
        using (var store = SentinelStore.Open(Store))
        {
            while (store.GrowOld(SampleStore.Begin.AddDays(1), 0, (_, value) => value))
            {
            }
        }

        SampleStore.Tamper(
            Store, $"update hourly set mean = mean + 1 where hour = {SampleStore.Begin.ToUnixTimeSeconds() / 3600} and series = 1");
        using (var store = SentinelStore.Reading(Store))
            Assert.Equal((24 * 3) - 1, store.ReadHours().Count());
        List<StoreDamage> damages = [];
        using var saved = StoreRescue.Open(Store, null, SampleStore.Clock, damages.Add);
        Assert.Equal("1 row of hourly differs from what was written", Assert.Single(damages).Fault);
        Assert.Equal("1 hourly value", damages[0].Others);
        Assert.Equal((24 * 3) - 1, saved.ReadHours().Count());
    }
}
