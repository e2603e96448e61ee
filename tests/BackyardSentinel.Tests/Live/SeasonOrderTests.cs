using BackyardSentinel.Garden;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;
using Xunit;

namespace BackyardSentinel.Live;

public sealed class SeasonOrderTests
{
    private const long Minute = 60_000_000;
    private static readonly Site Yard = new() { Id = "yard", Plantings = [new Planting("old-peach")] };

    [Fact]
    public void A_reading_is_heard_when_it_came_and_judged_at_its_own_time()
    {
        StoredReading[] rows = [Row(0, 100), Row(10, 10), Row(20, 21)];
        var steps = SeasonOrder.Of(rows).Select(step => (step.Row.TimeMs / 60_000, step.AtUs / Minute, step.Heard));
        Assert.Equal([(0, 0, false), (10, 10, true), (10, 10, false), (20, 20, false), (20, 21, true), (0, 100, true)], steps);
    }

    [Fact]
    public void A_fast_clock_does_not_drive_the_others_and_what_is_too_far_off_is_heard_only()
    {
        StoredReading[] rows = [Row(0, 24 * 60), Row(1, (24 * 60) + 2), Row(29, 20), Row(2000, 1989)];
        var judged = SeasonOrder.Of(rows).Where(step => !step.Heard).Select(step => (step.Row.TimeMs / 60_000, step.AtUs / Minute));
        Assert.Equal([(0, 0), (29, 20)], judged);
        Assert.Equal(4, SeasonOrder.Of(rows).Count(step => step.Heard));
        Assert.Equal([20, 1440, 1442, 1989], SeasonOrder.Of(rows).Where(step => step.Heard).Select(step => step.AtUs / Minute));
    }

    [Fact]
    public void Steps_never_go_back_and_what_came_later_is_left_out()
    {
        var random = new Random(11);
        for (var round = 0; round < 200; round++)
        {
            var rows = Enumerable
                .Range(0, 200)
                .Select(_ => random.Next(3000))
                .Distinct()
                .Order()
                .Select(minute => Row(minute, minute + (random.Next(5) == 0 ? random.Next(-30, 3000) : random.Next(-9, 3))))
                .Where(row => row.ReceivedUs >= 0)
                .ToList();
            var until = random.Next(2000, 6000) * Minute;
            var steps = SeasonOrder.Of(rows, until).ToList();
            Assert.Equal(steps.Select(step => step.AtUs).Order(), steps.Select(step => step.AtUs));
            Assert.Equal(rows.Count(row => row.ReceivedUs <= until), steps.Count(step => step.Heard));
        }
    }

    /// <summary>Whatever way readings took within a day, the season that is judged is the same.</summary>
    [Fact]
    public void Any_lateness_within_a_day_gives_the_very_season_of_readings_that_came_at_once()
    {
        var random = new Random(7);
        for (var round = 0; round < 60; round++)
        {
            var rows = Weather(random);
            var late = rows.Select(row =>
                    row with
                    {
                        ReceivedUs = row.ReceivedUs + (random.Next(4) == 0 ? random.NextInt64(1440 * Minute) : random.NextInt64(Minute)),
                    })
                .ToList();
            Assert.Equal(Judged(rows), Judged(late));
        }
    }

    private static List<string> Judged(IEnumerable<StoredReading> rows)
    {
        List<string> facts = [];
        var watch = new SiteWatch(Yard, fact => facts.Add($"{fact}"));
        foreach (var step in SeasonOrder.Of(rows).Where(step => !step.Heard))
        {
            var reading = new Reading((Quantity)step.Row.Series, DateTimeOffset.FromUnixTimeMilliseconds(step.Row.TimeMs), step.Row.Value);
            Assert.False(watch.HasJudged(reading));
            watch.Accept(reading, DateTimeOffset.UnixEpoch.AddMicroseconds(step.AtUs));
        }

        watch.AdvanceTo(DateTimeOffset.UnixEpoch.AddDays(10));
        facts.Add($"{watch.IntervalsJudged} {watch.LastInterval} {watch.RunningSpell}");
        Assert.True(facts.Count > 1);
        return facts;
    }

    private static List<StoredReading> Weather(Random random)
    {
        var step = random.Next(1, 25);
        List<StoredReading> rows = [];
        for (var minute = 1500; minute < 4500; minute += step)
        {
            var wet = minute / 400 % 2 == 1;
            rows.Add(Row(minute, minute, (int)Quantity.Temperature, 6 + random.Next(8)));
            rows.Add(Row(minute, minute, (int)Quantity.Humidity, wet ? 95 : 60));
            if (random.Next(3) == 0)
                rows.Add(Row(minute, minute, (int)Quantity.Rain, wet ? 0.2 : 0));
        }

        return rows;
    }

    private static StoredReading Row(int minute, int received, int series = 0, double value = 5) =>
        new(series, minute * 60_000L, value, received * Minute);
}
