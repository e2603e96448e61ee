namespace BackyardSentinel.Tests.Planning;

public sealed class WinterRainTests
{
    private static readonly DateOnly Today = new(2027, 1, 15);

    /// <summary>Assumed figures of ours: a winter is called dry from 54 known days of 60 on, wet from 150 mm on.</summary>
    [Theory]
    [InlineData(54, 1, 1.0, 54.0)]
    [InlineData(53, 1, 1.0, null)]
    [InlineData(30, 5, 1.0, 150.0)]
    [InlineData(30, 4.9, 1.0, null)]
    [InlineData(60, 1, 0.5, 60.0)]
    [InlineData(60, 1, 0.4, null)]
    public void Rain_is_known_from_enough_days_or_enough_rain(int days, double mmADay, double coverage, double? mm) =>
        Assert.Equal(mm, WinterRain.LastDaysMm(Days(1, days, mmADay, coverage), Today));

    [Fact]
    public void Today_and_what_lies_more_than_60_days_back_do_not_count() =>
        Assert.Equal(60, WinterRain.LastDaysMm(Days(0, 75, 1, 1), Today));

    private static IEnumerable<DayWeather> Days(int from, int count, double mm, double coverage) =>
        Enumerable.Range(from, count).Select(back => new DayWeather(Today.AddDays(-back), 5, 2, 8, mm, coverage));
}
