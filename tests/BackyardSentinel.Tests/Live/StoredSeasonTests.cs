using BackyardSentinel.Influx;

namespace BackyardSentinel.Live;

/// <summary>What commands see of a garden that they do not serve: the season up to a moment, and what is to be said of the store.</summary>
public sealed class StoredSeasonTests : IDisposable
{
    private readonly WetWeeks _weeks = new();

    private string Path => _weeks.Garden.Store.Path;

    public void Dispose() => _weeks.Dispose();

    private StoredSeason Load(DateTimeOffset at, List<string>? findings = null) =>
        StoredSeason.Load(_weeks.Garden, at, null, findings ?? []);

    private void Damage() => SampleStore.Tamper(
        Path, $"update readings set value = value + 500 where time_ms = {At(5).ToUnixTimeMilliseconds()} and series = 1");

    [Fact]
    public void A_season_is_fed_up_to_the_moment_that_is_asked_for()
    {
        _weeks.Measure(0, 60);
        var batch = new StoreBatch();
        batch.Quarantine.Add(new QuarantinedMessage("t", $"no number", Us(30), []));
        _weeks.Store.Commit(batch);
        _weeks.Store.Commit(new StoreBatch { Outages = { At(40) } });
        foreach (var hour in (double[])[29.99, 30, 39.5, 41, 60])
        {
            var season = Load(At(hour));
            Assert.Equal(hour >= 30 ? 1 : 0, season.Refused.Count);
            var (reading, received) = season.LastReadings[("yard", Quantity.Humidity)];
            Assert.InRange(reading.Time, At(hour).AddMinutes(-5), At(hour));
            Assert.InRange(received, reading.Time, At(hour));
            Assert.InRange(season.Watches["yard"].LastInterval!.Value.End, At(hour).AddMinutes(-31), At(hour));
            Assert.Equal(At(hour), season.At);
        }

        Assert.Empty(Load(At(-1)).LastReadings);
        long Us(double hour) => (At(hour) - DateTimeOffset.UnixEpoch).Ticks / 10;
    }

    [Theory]
    [InlineData(-1, false)]
    [InlineData(0, true)]
    [InlineData((30 * 86400) - 1, true)]
    [InlineData(30 * 86400, false)]
    public void Damage_of_the_store_is_told_for_a_month(int seconds, bool isTold)
    {
        _weeks.Measure(0, 20);
        Damage();
        StoreRescue.Open(Path, null, new FakeTimeProvider(At(100)), _ => { }).Dispose();
        List<string> findings = [];
        Load(At(100).AddSeconds(seconds), findings);
        Assert.Equal(
            isTold ? [true] : [],
            findings.Select(one => one.StartsWith("The store was damaged when the service started at", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_store_that_is_damaged_now_is_told_with_its_faults()
    {
        _weeks.Measure(0, 20);
        Damage();
        List<string> findings = [];
        Load(At(20), findings);
        Assert.Equal(
            [
                $"The store {Path} is damaged: 1 readings are not as they were written and left out. "
                    + "Start the service again: it saves what can be saved.",
            ],
            findings);
    }

    [Fact]
    public void Where_only_hourly_values_are_left_that_is_said()
    {
        _weeks.Measure(0, 72);
        while (_weeks.Store.GrowOld(At(24), 0, (_, value) => value))
        {
        }

        List<string> findings = [];
        Load(At(72), findings);
        Assert.Equal(
            [
                "Before 2025-03-02 00:00 only hourly values are kept (store.keep_years), which nothing can be judged from: that time "
                    + "counts as unknown. 'export hours' writes them.",
            ],
            findings);
        // The means of hours go on from the one to the other.
        var hours = StoredHours.Of(_weeks.Garden, _weeks.Garden.Sites[0]);
        Assert.Equal(Enumerable.Range(0, hours.Count).Select(hour => At(hour)), hours.Select(hour => hour.Start));
        Assert.InRange(hours.Count, 71, 72);
        Assert.All(hours, hour => Assert.Equal(9.5 + (27.5 * 0.01), hour.TempC, 3));
    }

    [Fact]
    public void Of_hourly_values_only_temperatures_of_half_an_hour_at_least_count()
    {
        var batch = new StoreBatch();
        Say(Quantity.Temperature, 0, 60, 75, 120, 150);
        Say(Quantity.Humidity, 0, 15, 30, 45, 180, 195, 210);
        _weeks.Store.Commit(batch);
        while (_weeks.Store.GrowOld(At(24), 0, (_, value) => value))
        {
        }

        Assert.Equal([At(1), At(2)], StoredHours.Of(_weeks.Garden, _weeks.Garden.Sites[0]).Select(hour => hour.Start));

        void Say(Quantity quantity, params int[] minutes)
        {
            var name = _weeks.Garden.Series.First(map => map.SiteId == _weeks.Garden.Sites[0].Id && map.Quantity == quantity).Name;
            foreach (var minute in minutes)
            {
                var at = At(minute / 60.0).ToUnixTimeMilliseconds();
                batch.Readings.Add(new StoredReading(_weeks.Store.SeriesId(name), at, 9, at * 1000));
            }
        }
    }

    private static DateTimeOffset At(double hour) => WetWeeks.Begin.AddHours(hour);
}
