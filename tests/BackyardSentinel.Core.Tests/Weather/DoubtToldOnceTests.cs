using BackyardSentinel.Events;

namespace BackyardSentinel.Tests.Weather;

/// <summary>A season heard as it came and judged again whenever late readings came: no doubt is told twice.</summary>
public sealed class DoubtToldOnceTests
{
    private static readonly Site Garden = Some.Garden() with { LatitudeDeg = 45 };

    [Fact]
    public void Late_readings_move_no_doubt_that_was_told()
    {
        var moved = 0;
        for (var seed = 0; seed < 20; seed++)
        {
            var random = new Random(seed);
            var season = Season(random);
            var atOnce = Doubts(season.Select(row => (row.Reading, row.Reading.Time)), null);
            Assert.NotEmpty(atOnce);

            // Live: what came so far is judged again at any time, by a watch that asks what was told.
            HashSet<string> told = [];
            var (watch, came) = (Watch(told), new List<Reading>());
            foreach (var (reading, arrival) in season.OrderBy(row => row.Arrival))
            {
                came.Add(reading);
                if (!watch.HasJudged(reading))
                    watch.Accept(reading, arrival);
                else if (random.Next(30) == 0)
                    watch = Again(came, told);
            }

            var before = told.ToHashSet();
            Again(came, told);
            Again(came, told);
            Assert.Equal(before.Order(), told.Order());
            Assert.Equal(atOnce.Select(WithoutMoment).Order(), told.Select(WithoutMoment).Order());
            moved += atOnce.Order().SequenceEqual(told.Order()) ? 0 : 1;
        }

        // The seasons are such that without the watch's asking many a doubt would have been told at another hour.
        Assert.True(moved > 4, $"{moved} of 20 seasons put it to the test");
    }

    [Fact]
    public void Readings_of_one_minute_may_come_in_any_order()
    {
        List<Reading> rows =
        [
            .. Enumerable
                .Range(0, 48 * 6)
                .SelectMany(i =>
                    new[] { Some.Temperature(Some.At(i / 6.0), 50 + (i % 3)), Some.Temperature(Some.At(i / 6.0).AddSeconds(50), 50) }),
        ];
        var swapped = rows.Chunk(2).SelectMany(pair => pair.Reverse()).ToList();
        var expected = Doubts(rows.Select(row => (row, row.Time)), null);
        Assert.Single(expected);
        Assert.Equal(expected, Doubts(swapped.Select(row => (row, row.Time)), null));
    }

    [Fact]
    public void A_doubt_that_comes_up_anew_is_told_anew()
    {
        List<Reading> rows = [];
        for (var hour = 0.0; hour < 24 * 10; hour += 0.5)
            rows.Add(Some.Humidity(Some.At(hour), hour is < 30 or > 120 ? 0.8 : 80));
        HashSet<string> told = [];
        Assert.Equal(2, Doubts(rows.Select(row => (row, row.Time)), told).Count);
        Assert.Equal(2, Doubts(rows.Select(row => (row, row.Time)), told).Count);
        Assert.Equal(2, told.Count);
    }

    private static string WithoutMoment(string key) => key[..key.LastIndexOf('/')];

    private static SiteWatch Watch(HashSet<string> told) => new(
        Garden, fact => { if (fact is ReadingsDoubted) told.Add(fact.Key); }, isKnown: told.Contains);

    private static SiteWatch Again(List<Reading> came, HashSet<string> told)
    {
        var watch = Watch(told);
        foreach (var reading in came.OrderBy(reading => reading.Time))
            watch.Accept(reading, reading.Time);
        return watch;
    }

    private static List<string> Doubts(IEnumerable<(Reading Reading, DateTimeOffset At)> rows, HashSet<string>? told)
    {
        List<string> keys = [];
        var watch = new SiteWatch(
            Garden,
            fact =>
            {
                if (fact is ReadingsDoubted)
                    keys.Add(fact.Key);
            },
            isKnown: told is null ? null : told.Contains);
        foreach (var (reading, at) in rows)
            watch.Accept(reading, at);
        told?.UnionWith(keys);
        return keys;
    }

    /// <summary>
    /// Three days; from some hour on the thermometer says °F and the hygrometer a share of 1; one in four readings comes up to 12 hours
    /// late.
    /// </summary>
    private static List<(Reading Reading, DateTimeOffset Arrival)> Season(Random random)
    {
        var (fahrenheitFrom, shareFrom, step) = (random.Next(1, 40), random.Next(1, 40), random.Next(15, 40));
        List<(Reading, DateTimeOffset)> rows = [];
        for (var minute = 0; minute < 72 * 60; minute += step)
        {
            var at = Some.Midnight.AddMinutes(minute);
            var air = 8 + (2 * Math.Sin((minute - 540) / 1440.0 * 2 * Math.PI));
            Add(Some.Temperature(at, minute >= fahrenheitFrom * 60 ? (air * 1.8) + 32 : air));
            Add(Some.Humidity(at.AddSeconds(1), minute >= shareFrom * 60 ? 0.85 : 85));
            Add(Some.Rain(at.AddSeconds(2), 0));
        }

        return rows;

        void Add(Reading reading) =>
            rows.Add((reading, reading.Time.AddSeconds(random.Next(4) == 0 ? random.Next(12 * 3600) : random.Next(60))));
    }
}
