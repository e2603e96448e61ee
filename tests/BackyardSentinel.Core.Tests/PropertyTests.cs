using BackyardSentinel.Events;

namespace BackyardSentinel.Tests;

/// <summary>What must hold whatever the weather was, in which order it was told, and how often the clock was asked.</summary>
public class PropertyTests
{
    private static readonly Site Garden = Some.Garden() with
    {
        Plantings = [new Planting("tree", Stage: Some.GreenTips), new Planting("bare", Stage: 0)],
        Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid"),
    };

    private enum Kind
    {
        Rain,
        Humid,
        Dry,
        Silent,
        NoTemperature,
        Sensor,
    }

    private readonly record struct Stretch(Kind Kind, int TenMinutes, double TempC, double Amount);

    private static readonly Gen<Stretch> GenStretch = Gen.Select(
        Gen.Enum<Kind>(), Gen.Int[1, 120], Gen.Int[-2, 18], Gen.Int[0, 100],
        (kind, length, tempC, amount) => new Stretch(kind, length, tempC, amount / 4.0));

    private static readonly Gen<Stretch[]> GenWeather = GenStretch.Array[3, 14];

    /// <summary>Momentary readings at odd seconds, as sensors send them.</summary>
    private static readonly Gen<List<Reading>> GenReadings = Gen.Select(GenWeather, Gen.Int[0, 599].Array[50])
        .Select((weather, seconds) => Rows(weather).Readings
            .Select((reading, i) => reading with { Period = TimeSpan.Zero, Time = reading.Time.AddSeconds(seconds[i % 50]) })
            .OrderBy(reading => reading.Time)
            .ToList());

    [Fact]
    public void Any_order_of_arrival_within_the_late_allowance_gives_the_same_events()
    {
        var site = Garden with { LateAllowance = TimeSpan.FromMinutes(30) };
        Gen.Select(GenReadings, Gen.Int[0, 29 * 60].Array[37]).Sample((readings, delays) =>
        {
            var shuffled = readings.Select((reading, i) => (Reading: reading, ReceivedAt: reading.Time.AddSeconds(delays[i % 37])))
                .OrderBy(told => told.ReceivedAt);
            AssertSame(Seen.From(site, OnTime(readings)), Seen.From(site, shuffled));
        }, iter: 60);
    }

    [Fact]
    public void Readings_told_twice_change_nothing() =>
        Gen.Select(GenReadings, Gen.Int[0, 7200].Array[23]).Sample((readings, delays) =>
        {
            var twice = OnTime(readings)
                .Concat(readings.Select((reading, i) => (Reading: reading, ReceivedAt: reading.Time.AddSeconds(delays[i % 23]))))
                .Where(told => told.ReceivedAt <= readings[^1].Time)
                .OrderBy(told => told.ReceivedAt);
            AssertSame(Seen.From(Garden, OnTime(readings)), Seen.From(Garden, twice));
        }, iter: 60);

    [Fact]
    public void Ticks_of_the_clock_between_readings_change_nothing() =>
        Gen.Select(GenReadings, Gen.Int[1, 90]).Sample((readings, seconds) =>
        {
            var events = new List<SentinelEvent>();
            var watch = new SiteWatch(Garden, events.Add);
            var now = readings[0].Time;
            foreach (var reading in readings)
            {
                for (; now < reading.Time; now = now.AddSeconds(seconds))
                    watch.AdvanceTo(now);
                watch.Accept(reading, reading.Time);
            }

            watch.Finish();
            AssertSame(Seen.From(Garden, OnTime(readings)), new Seen(watch, events));
        }, iter: 30);

    [Fact]
    public void The_same_readings_give_the_same_events_after_a_restart() =>
        GenReadings.Sample(readings => AssertSame(Seen.From(Garden, OnTime(readings)), Seen.From(Garden, OnTime([.. readings]))), iter: 60);

    [Fact]
    public void Every_event_has_a_key_of_its_own() =>
        GenReadings.Sample(readings =>
        {
            var keys = Seen.From(Garden, OnTime(readings)).Events.Select(fact => fact.Key).ToList();
            Assert.Equal(keys.Count, keys.Distinct().Count());
        }, iter: 200);

    [Fact]
    public void Wet_hours_lie_between_nothing_and_the_length_of_the_spell() =>
        GenReadings.Sample(readings => Assert.All(Seen.From(Garden, OnTime(readings)).Spells, spell =>
        {
            Assert.True(spell.WetHours > 0);
            Assert.True(spell.WetHours <= (spell.End - spell.Start).TotalHours + 1e-9);
            Assert.True(spell.MeanTempC is null || (spell.MinTempC <= spell.MeanTempC + 1e-9 && spell.MeanTempC <= spell.MaxTempC + 1e-9));
        }), iter: 200);

    [Fact]
    public void Windows_close_no_earlier_than_they_open_and_one_rule_has_one_open_at_a_time() =>
        GenReadings.Sample(readings =>
        {
            var open = new HashSet<(string, string)>();
            foreach (var fact in Seen.From(Garden, OnTime(readings)).Events)
            {
                if (fact is InfectionWindowOpened opened)
                    Assert.True(open.Add((opened.Window.Planting, opened.Window.Rule)));
                if (fact is not InfectionWindowClosed closed)
                    continue;
                Assert.True(open.Remove((closed.Window.Planting, closed.Window.Rule)));
                Assert.True(closed.Window.ClosedAt >= closed.Window.OpenedAt);
            }

            Assert.Empty(open);
        }, iter: 200);

    [Fact]
    public void More_wet_leaf_readings_never_lower_the_wet_hours() =>
        Gen.Select(GenWeather, Gen.Int[0, 3].Array[41])
            .Sample(
                (weather, dice) =>
                {
                    var fewer = WithRainFirst(weather).Readings;
                    // Some dry leaves turn wet; frost and rain still rule over the sensor.
                    var more = fewer.Select(
                        (reading, i) =>
                            reading.Quantity == Quantity.LeafWetness && dice[i % 41] == 0 ? reading with { Value = 100 } : reading);
                    Assert.True(WetHours(more) >= WetHours(fewer) - 1e-9);
                },
                iter: 100);

    [Fact]
    public void Rows_that_are_missing_never_create_wet_hours() =>
        Gen.Select(GenWeather, Gen.Int[0, 5].Array[61]).Sample((weather, dice) =>
        {
            var whole = WithRainFirst(weather).Readings;
            var first = whole[0].Time;
            var holed = whole.Where(reading => dice[(int)(((reading.Time - first).TotalMinutes / 10) % 61)] != 0);
            Assert.True(WetHours(holed) <= WetHours(whole) + 1e-9);
        }, iter: 100);

    // Whole degrees and quarter millimetres add up exactly, so the windows must be equal to the last bit.
    [Fact]
    public void Readings_every_five_minutes_say_the_same_as_every_ten() =>
        GenWeather.Sample(
            weather =>
            {
                var tens = Rows(weather).Readings.Select(reading => reading with { Period = TimeSpan.Zero }).ToList();
                var fives = tens.SelectMany(reading =>
                        reading.Quantity == Quantity.Rain
                            ? new[] { reading }
                            : [reading, reading with { Time = reading.Time.AddMinutes(5) }])
                    .OrderBy(reading => reading.Time)
                    .ToList();
                var (a, b) = (
                    Seen.From(Garden, OnTime(tens)),
                    Seen.From(Garden with { Hold = Garden.Hold - TimeSpan.FromMinutes(5) }, OnTime(fives)));
                Assert.Equal(a.Spells, b.Spells);
                foreach (var rule in Enum.GetValues<RuleName>())
                    Assert.Equal(a.Closed(rule), b.Closed(rule));
            },
            iter: 60);

    [Fact]
    public void The_length_of_intervals_does_not_change_what_hourly_rows_say() =>
        GenStretch.Array[3, 14].Sample(weather =>
        {
            var diary = new Diary(rowMinutes: 60);
            foreach (var s in weather)
                Add(diary, s with { TenMinutes = Math.Max(6, s.TenMinutes / 6 * 6) });
            var hourly = Steps(diary, 60);
            foreach (var minutes in new[] { 5, 10, 15, 20, 30 })
            {
                var finer = Steps(diary, minutes);
                Assert.Equal(hourly.Select(spell => (spell.Start, spell.End)), finer.Select(spell => (spell.Start, spell.End)));
                Assert.All(hourly.Zip(finer), pair =>
                {
                    Assert.Equal(pair.First.WetHours, pair.Second.WetHours, 9);
                    Assert.Equal(pair.First.RainMm, pair.Second.RainMm, 9);
                });
            }
        }, iter: 40);

    private static IReadOnlyList<WetSpell> Steps(Diary diary, int minutes) =>
        diary.Replayed(Garden with { Step = TimeSpan.FromMinutes(minutes) }).Spells;

    private static double WetHours(IEnumerable<Reading> readings) =>
        Seen.From(Garden, OnTime(readings)).Spells.Sum(spell => spell.WetHours);

    private static IEnumerable<(Reading Reading, DateTimeOffset ReceivedAt)> OnTime(IEnumerable<Reading> readings) =>
        readings.Select(reading => (reading, reading.Time));

    private static Diary WithRainFirst(Stretch[] weather) => Rows([new Stretch(Kind.Rain, 30, 10, 2), .. weather]);

    private static Diary Rows(Stretch[] weather)
    {
        var diary = new Diary().Dry(1);
        foreach (var stretch in weather)
            Add(diary, stretch);
        return diary;
    }

    private static void Add(Diary diary, Stretch s)
    {
        var hours = s.TenMinutes / 6.0;
        _ = s.Kind switch
        {
            Kind.Rain => diary.Wet(hours, s.TempC, s.Amount),
            Kind.Humid => diary.Wet(hours, s.TempC),
            Kind.Dry => diary.Dry(hours, s.TempC),
            Kind.NoTemperature => diary.Rows(hours, null, 95, 0),
            Kind.Sensor => diary.Rows(hours, s.TempC, 70, 0, leaf: s.Amount * 4),
            _ => diary.Silence(hours),
        };
    }

    private static void AssertSame(Seen expected, Seen actual)
    {
        Assert.Equal(expected.Watch.IntervalsJudged, actual.Watch.IntervalsJudged);
        Assert.Equal(expected.Events, actual.Events);
    }
}
