namespace BackyardSentinel.Tests;

public sealed class SeasonOrderTests
{
    private static readonly DateTimeOffset End = DateTimeOffset.MaxValue;
    private static readonly Site Yard = new() { Id = "yard", Plantings = [new Planting("old-peach")] };

    [Fact]
    public void A_reading_is_heard_when_it_came_and_judged_at_its_own_time()
    {
        SensedReading[] rows = [Row(0, 100), Row(10, 10), Row(20, 21)];
        var steps = Steps(rows, End).Select(step => (Minute(step.Sensed.Reading.Time), Minute(step.At), step.Heard));
        Assert.Equal([(0, 0, false), (10, 10, true), (10, 10, false), (20, 20, false), (20, 21, true), (0, 100, true)], steps);
    }

    [Fact]
    public void A_fast_clock_does_not_drive_the_others_and_what_is_too_far_off_is_refused_when_it_comes()
    {
        SensedReading[] rows = [Row(0, 24 * 60), Row(1, (24 * 60) + 2), Row(29, 20), Row(2000, 1989)];
        var judged = Steps(rows, End)
            .Where(step => !step.Heard)
            .Select(step => (Minute(step.Sensed.Reading.Time), Minute(step.At)));
        Assert.Equal([(0, 0), (29, 20), (1, 1442), (2000, 1989)], judged);
        Assert.Equal(4, Steps(rows, End).Count(step => step.Heard));
        Assert.Equal([20, 1440, 1442, 1989], Steps(rows, End).Where(step => step.Heard).Select(step => Minute(step.At)));
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
                .Where(row => row.ReceivedAt >= DateTimeOffset.UnixEpoch)
                .ToList();
            var until = At(random.Next(2000, 6000));
            var steps = Steps(rows, until);
            Assert.Equal(steps.Select(step => step.At).Order(), steps.Select(step => step.At));
            Assert.Equal(rows.Count(row => row.ReceivedAt <= until), steps.Count(step => step.Heard));
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
                        ReceivedAt = row.ReceivedAt.AddMinutes(random.NextDouble() * (random.Next(4) == 0 ? 1440 : 1)),
                    })
                .ToList();
            Assert.Equal(Judged(rows), Judged(late));
        }
    }

    private static List<(SensedReading Sensed, DateTimeOffset At, bool Heard)> Steps(
        IEnumerable<SensedReading> rows, DateTimeOffset until)
    {
        List<(SensedReading, DateTimeOffset, bool)> steps = [];
        foreach (var step in SeasonOrder.Of(rows, until))
            steps.Add((step.Sensed, step.At, step.Heard));
        return steps;
    }

    private static List<string> Judged(IEnumerable<SensedReading> rows)
    {
        List<string> facts = [];
        var watch = new SiteWatch(Yard, fact => facts.Add($"{fact}"));
        foreach (var step in Steps(rows, End).Where(step => !step.Heard))
        {
            Assert.False(watch.HasJudged(step.Sensed.Reading));
            watch.Accept(step.Sensed.Reading, step.At);
        }

        watch.AdvanceTo(DateTimeOffset.UnixEpoch.AddDays(10));
        facts.Add($"{watch.IntervalsJudged} {watch.LastInterval} {watch.RunningSpell}");
        Assert.True(facts.Count > 1);
        return facts;
    }

    private static List<SensedReading> Weather(Random random)
    {
        var step = random.Next(1, 25);
        List<SensedReading> rows = [];
        for (var minute = 1500; minute < 4500; minute += step)
        {
            var wet = minute / 400 % 2 == 1;
            rows.Add(Row(minute, minute, Quantity.Temperature, 6 + random.Next(8)));
            rows.Add(Row(minute, minute, Quantity.Humidity, wet ? 95 : 60));
            if (random.Next(3) == 0)
                rows.Add(Row(minute, minute, Quantity.Rain, wet ? 0.2 : 0));
        }

        return rows;
    }

    private static SensedReading Row(int minute, int received, Quantity quantity = Quantity.Temperature, double value = 5) =>
        new("yard", $"{quantity}", new Reading(quantity, At(minute), value), At(received));

    private static DateTimeOffset At(int minute) => DateTimeOffset.UnixEpoch.AddMinutes(minute);

    private static int Minute(DateTimeOffset at) => (int)(at - DateTimeOffset.UnixEpoch).TotalMinutes;
}
