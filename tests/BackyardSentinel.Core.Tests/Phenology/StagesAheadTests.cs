namespace BackyardSentinel.Tests.Phenology;

public sealed class StagesAheadTests
{
    private static readonly List<HourTemperature> Year = [.. Winter.Hours(Winter.Utc(2026, 9, 1), 364)];

    [Fact]
    public void A_forecast_of_all_that_comes_gives_the_days_that_come()
    {
        var told = new Told(Year.Where(hour => hour.End <= Winter.Utc(2027, 1, 2)));
        var whole = new Told(Year).Model;
        var (days, stages) = new StagesAhead(told.Model, Year, null).Reckon();

        Assert.All(stages, stage => Assert.Equal(whole.DatesOf(stage.Stage), stage.Dates));
        Assert.Equal([1, 9, 65, 69], stages.Select(stage => stage.Stage.Code));
        Assert.All(days.Zip(days.Skip(1)), pair => Assert.Equal(pair.First.Day.AddDays(1), pair.Second.Day));
        Assert.Equal(stages[^1].Dates.Late, days[^1].Day);
    }

    [Fact]
    public void The_swell_is_the_one_that_the_plan_speaks_of()
    {
        var model = new Told(Year.Where(hour => hour.End <= Winter.Utc(2027, 1, 2))).Model;
        var climate = DailyClimate.FromMonths([-2, -1, 2, 5, 9, 12, 14, 14, 10, 6, 2, -1], [4, 6, 10, 15, 19, 23, 25, 25, 21, 15, 9, 5]);
        var usual = new UsualHours(climate, TimeZoneInfo.Utc, Winter.Latitude, Winter.Longitude);
        var swell = BudSwell.Expect(model, [], usual);

        Assert.Equal(
            new StageDates(swell.Early, swell.Expected, swell.Late),
            new StagesAhead(model, [], usual).Reckon().Stages[0].Dates);
    }

    [Fact]
    public void Where_nothing_is_known_of_what_comes_nothing_is_said()
    {
        var (days, stages) = new StagesAhead(
            new Told(Year.Where(hour => hour.End <= Winter.Utc(2027, 1, 2))).Model, [], null).Reckon();

        Assert.Single(days);
        Assert.All(stages, stage => Assert.Equal(default, stage.Dates));
    }

    [Fact]
    public void Looking_ahead_leaves_the_model_as_it_is()
    {
        var model = new Told(Year.Where(hour => hour.End <= Winter.Utc(2027, 1, 2))).Model;
        var before = (model.ChillSum, model.HeatSum, model.ChillMetOn);
        new StagesAhead(model, Year, null).Reckon();

        Assert.Equal(before, (model.ChillSum, model.HeatSum, model.ChillMetOn));
    }
}
