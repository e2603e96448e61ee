namespace BackyardSentinel.Tests.Phenology;

public sealed class UsualHoursTests
{
    private static readonly DailyClimate Climate = DailyClimate.FromMonths(
        [-4, -3, 1, 5, 9, 13, 15, 14, 11, 6, 2, -3],
        [3, 6, 11, 16, 21, 24, 27, 26, 21, 15, 8, 3]);

    public static TheoryData<string, double, double> Places => new()
    {
        { "Europe/Ljubljana", 46.05, 14.51 },
        { "America/New_York", 42.44, -72.65 },
        { "Australia/Sydney", -33.87, 151.21 },
    };

    [Theory]
    [MemberData(nameof(Places))]
    public void Each_hour_is_that_of_the_daily_curve_under_the_sun_of_its_own_year(string zone, double latitude, double longitude)
    {
        var place = TimeZoneInfo.FindSystemTimeZoneById(zone);
        var usual = new UsualHours(Climate, place, latitude, longitude);
        var worst = 0.0;
        for (var hour = new DateTimeOffset(2025, 1, 2, 0, 0, 0, TimeSpan.Zero); hour.Year < 2026; hour = hour.AddHours(1))
        {
            var middle = hour.AddMinutes(30).ToOffset(place.BaseUtcOffset);
            var day = DateOnly.FromDateTime(middle.DateTime);
            var drawn = DailyTemperature.At(middle.TimeOfDay.TotalHours, Curve(day.AddDays(-1)), Curve(day), Curve(day.AddDays(1)));
            worst = Math.Max(worst, Math.Abs(drawn - usual.At(hour)));
        }

        Assert.InRange(worst, 0, 0.05);

        CurveDay Curve(DateOnly day)
        {
            var midnight = new DateTimeOffset(day.ToDateTime(TimeOnly.MinValue), place.BaseUtcOffset);
            return CurveDay.Under(SunTimes.On(day, latitude, longitude, place), midnight, Climate.Of(day));
        }
    }

    [Fact]
    public void An_hour_is_the_same_in_every_year_whichever_is_asked_first()
    {
        var (first, second) = (Usual(), Usual());
        var start = new DateTimeOffset(2024, 1, 1, 0, 0, 0, TimeSpan.Zero);
        var hours = Enumerable
            .Range(0, 366 * 24)
            .Select(hour => start.AddHours(hour))
            .Where(hour => hour is not { Month: 2, Day: 29 })
            .ToList();
        var forwards = hours.ConvertAll(first.At);
        var backwards = Enumerable.Reverse(hours).Select(hour => second.At(hour.AddYears(3))).Reverse();

        Assert.Equal(forwards, backwards);
        Assert.Equal(forwards[(58 * 24) + 12], first.At(start.AddDays(59).AddHours(12)), 0.5);

        static UsualHours Usual() => new(Climate, TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"), 46.05, 14.51);
    }
}
