namespace BackyardSentinel.Tests.Phenology;

// 1 November as the beginning of chill: Miranda, Santesteban and Royo 2013; the mirrored dates and the starts are assumed.
public class SeasonCalendarTests
{
    [Theory]
    [InlineData(2026, 9, 1, 2027)]
    [InlineData(2026, 8, 31, 2026)]
    [InlineData(2027, 2, 28, 2027)]
    public void In_the_north_a_season_bears_the_year_after_September(int year, int month, int day, int expected)
    {
        var season = new SeasonCalendar(46).SeasonOf(new DateOnly(year, month, day));

        Assert.Equal(new Season(expected, new(expected - 1, 9, 1), new(expected - 1, 11, 1), new(expected, 9, 1)), season);
    }

    [Theory]
    [InlineData(2026, 3, 1, 2026)]
    [InlineData(2027, 2, 28, 2026)]
    [InlineData(2026, 10, 5, 2026)]
    public void In_the_south_it_bears_the_year_of_its_own_spring(int year, int month, int day, int expected)
    {
        var season = new SeasonCalendar(-34).SeasonOf(new DateOnly(year, month, day));

        Assert.Equal(new Season(expected, new(expected, 3, 1), new(expected, 5, 1), new(expected + 1, 3, 1)), season);
    }

    [Theory]
    [InlineData(0.0)]
    [InlineData(-0.1)]
    [InlineData(60.0)]
    public void Every_day_lies_in_its_season_and_seasons_follow_each_other(double latitude)
    {
        var calendar = new SeasonCalendar(latitude);
        for (var day = new DateOnly(2023, 1, 1); day.Year < 2028; day = day.AddDays(1))
        {
            var season = calendar.SeasonOf(day)!.Value;
            Assert.True(season.Contains(day));
            Assert.Equal(season.End, calendar.SeasonOf(season.End)!.Value.Start);
            Assert.Equal(season.Year + 1, calendar.SeasonOf(season.End)!.Value.Year);
        }
    }

    [Fact]
    public void A_season_ends_before_the_first_day_of_the_next()
    {
        var season = Winter.North.SeasonOf(new DateOnly(2027, 3, 1))!.Value;

        Assert.Equal(
            [false, true, true, false],
            new[] { season.Start.AddDays(-1), season.Start, season.End.AddDays(-1), season.End }.Select(season.Contains));
        Assert.Equal(season.Year + 1, Winter.North.SeasonOf(season.End)!.Value.Year);
    }

    // The solstices by the calendar, of which one is half a year before the other.
    [Theory]
    [InlineData(46, "2026-12-20", false)]
    [InlineData(46, "2026-12-21", true)]
    [InlineData(46, "2027-06-21", true)]
    [InlineData(46, "2027-06-22", false)]
    [InlineData(-34, "2027-06-22", true)]
    [InlineData(-34, "2027-12-21", true)]
    [InlineData(-34, "2027-12-22", false)]
    public void Days_lengthen_from_the_shortest_to_the_longest(double latitude, string day, bool lengthen) =>
        Assert.Equal(lengthen, new SeasonCalendar(latitude).LengtheningHours(RecordedYear.Date(day)) is not null);

    [Fact]
    public void On_the_equator_it_is_north() =>
        Assert.Equal(new SeasonCalendar(10).SeasonOf(new(2027, 4, 1)), new SeasonCalendar(0).SeasonOf(new(2027, 4, 1)));

    [Fact]
    public void Without_a_latitude_no_day_has_a_season()
    {
        Assert.Null(new SeasonCalendar(null).SeasonOf(new(2027, 4, 1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => new SeasonCalendar(90.1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new SeasonCalendar(double.NaN));
    }
}
