using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Reporting;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Tests.Reporting;

/// <summary>What must hold of an almanac whatever the weather was, and by which way it came.</summary>
public sealed class AlmanacPropertyTests
{
    private static readonly Site Garden = Some.Garden() with
    {
        Plantings = [new Planting("tree", Stage: Some.GreenTips), new Planting("followed") { Follows = StageNeeds.Default }],
        Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid"),
        LatitudeDeg = 42,
        LongitudeDeg = -3,
    };

    /// <summary>Stretches of rain, fog, dry air and silence, one after the other.</summary>
    private static readonly Gen<IReadOnlyList<Reading>> GenReadings =
        Gen.Select(Gen.Int[0, 3], Gen.Int[1, 120], Gen.Int[-2, 18], Gen.Int[0, 40]).Array[3, 14].Select(stretches =>
        {
            var diary = new Diary();
            foreach (var (kind, tens, tempC, rain) in stretches)
            {
                diary = kind switch
                {
                    0 => diary.Wet(tens / 6.0, tempC, rain / 4.0),
                    1 => diary.Rows(tens / 6.0, tempC, 99, null),
                    2 => diary.Dry(tens / 6.0, tempC),
                    _ => diary.Silence(tens / 6.0),
                };
            }

            return diary.Readings;
        }).Where(readings => readings.Count > 0);

    [Fact]
    public void Live_a_restart_and_a_log_leave_the_same_almanac() =>
        GenReadings.Sample(readings =>
        {
            var season = readings.Select(reading => new SensedReading("garden", $"{reading.Quantity}", reading, reading.Time)).ToList();
            var end = readings.Max(reading => reading.Time).AddHours(7);
            var live = Text(desk: true, feed =>
            {
                var next = 0;
                for (var minute = Some.Midnight; minute <= end; minute = minute.AddMinutes(1))
                {
                    feed.AdvanceTo(minute);
                    for (; next < season.Count && season[next].ReceivedAt < minute.AddMinutes(1); next++)
                        feed.Accept(season[next]);
                }
            });

            Assert.Equal(live, Text(desk: true, feed =>
            {
                feed.Feed(season);
                feed.AdvanceTo(end);
            }));
            Assert.Equal(live, Text(desk: false, feed =>
            {
                foreach (var sensed in season)
                    feed.Judge(feed.Watches["garden"], sensed.Reading, sensed.Reading.Time);
                feed.AdvanceTo(end);
            }));
        }, iter: 40);

    [Fact]
    public void The_hours_the_days_and_the_intervals_have_the_same_rain_and_the_same_wetness() =>
        GenReadings.Sample(readings =>
        {
            double rain = 0, wet = 0, known = 0;
            var keeper = new AlmanacKeeper([Garden]);
            var feed = new SeasonFeed([Garden], keeper.Note, onInterval: watch =>
            {
                keeper.Note(watch);
                rain += watch.LastInterval!.Value.RainMm ?? 0;
                wet += watch.LastWetness!.Value.Fraction / 6;
                known += watch.LastInterval.Value.TemperatureC is null ? 0 : 1 / 6.0;
            });
            var slice = Slice(keeper, feed, readings);

            Assert.Equal(rain, slice.Hours.Sum(hour => hour.RainMm ?? 0), 1e-3);
            Assert.Equal(wet, slice.Hours.Sum(hour => hour.WetShare), 1e-3);
            Assert.Equal(known, slice.Hours.Sum(hour => hour.TemperatureShare), 1e-3);
            Assert.Equal(feed.Watches["garden"].PastDays, slice.Days.Select(day => day.Weather));
            Assert.True(slice.Days.Sum(day => day.WetHours) <= wet + 1e-6);
        }, iter: 40);

    [Fact]
    public void Levels_and_windows_are_those_that_were_told() =>
        GenReadings.Sample(readings =>
        {
            List<SentinelEvent> told = [];
            var keeper = new AlmanacKeeper([Garden]);
            var feed = new SeasonFeed([Garden], fact =>
            {
                told.Add(fact);
                keeper.Note(fact);
            }, onInterval: keeper.Note);
            var slice = Slice(keeper, feed, readings);

            foreach (var planting in slice.Plantings)
            {
                var changes = told.OfType<LevelChanged>().Where(change => change.Planting == planting.Planting).ToList();
                Assert.All(changes, change => Assert.Contains(planting.Levels, held =>
                    (held.Value.Level == change.To && held.From <= change.Since && change.Since < held.To)
                    || change.Since >= slice.To
                    || changes.Exists(later => later.At > change.At && later.Since <= change.Since)));
                Assert.Equal(
                    told.OfType<InfectionWindowClosed>()
                        .Select(closed => closed.Window)
                        .Where(window => window.Planting == planting.Planting)
                        .OrderBy(window => window.OpenedAt).ThenBy(window => window.Rule),
                    planting.Windows);
                Assert.All(
                    planting.Levels.Zip(planting.Levels.Skip(1)),
                    pair => Assert.True(pair.First.To == pair.Second.From && pair.First.Value != pair.Second.Value));
            }
        }, iter: 40);

    private static AlmanacSlice Slice(AlmanacKeeper keeper, SeasonFeed feed, IEnumerable<Reading> readings)
    {
        foreach (var reading in readings)
            feed.Judge(feed.Watches["garden"], reading, reading.Time);
        feed.Finish();
        return keeper.Slice(feed.Watches["garden"], DateTimeOffset.MinValue, DateTimeOffset.MaxValue)!;
    }

    private static string Text(bool desk, Action<SeasonFeed> feeding)
    {
        var keeper = new AlmanacKeeper([Garden]);
        var feed = new SeasonFeed(
            [Garden],
            keeper.Note,
            onInterval: keeper.Note,
            desk: desk ? new AlertDesk(new AlertPolicyOptions(), _ => { }) : null);
        feeding(feed);
        return AlmanacText.Of(keeper.Slice(feed.Watches["garden"], DateTimeOffset.MinValue, DateTimeOffset.MaxValue)!);
    }
}
