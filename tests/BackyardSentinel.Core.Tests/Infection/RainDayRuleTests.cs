namespace BackyardSentinel.Tests.Infection;

// The rule: Giosuè, Spada, Rossi, Carli and Ponti 2000, Eur. J. Plant Pathol. 106:563–571 (abstract). Clock changes are
// those that the time zone database foresees for 2027.
public class RainDayRuleTests
{
    [Theory]
    [InlineData(10.0, 8.0, false)]
    [InlineData(10.1, 8.0, true)]
    [InlineData(12.0, 5.0, false)]
    [InlineData(12.0, 5.1, true)]
    public void A_day_needs_more_than_ten_millimetres_and_more_than_five_degrees(double rainMm, double maxTempC, bool opens)
    {
        var seen = new Diary().Dry(6, tempC: 3).Rows(6, maxTempC, 70, rainMm).Dry(12, tempC: 3).Replayed();

        Assert.Equal(opens, seen.Opened(RuleName.RainDay).Count == 1);
    }

    [Fact]
    public void It_is_likely_from_the_moment_both_conditions_hold_until_midnight()
    {
        var diary = new Diary().Dry(6, tempC: 3).Rows(6, 4, 70, 12).Dry(1, tempC: 6);

        Assert.Equal(Level.Likely, diary.Live().Risk.Opinions[RuleName.RainDay.Word()]);
        var seen = diary.Dry(15).Live();
        var window = Assert.Single(seen.Closed(RuleName.RainDay));
        Assert.Equal((Some.Clock(12, 10), Some.At(24), Level.Likely), (window.OpenedAt, window.ClosedAt, window.Level));
        Assert.Equal(Level.Clear, seen.Risk.Opinions[RuleName.RainDay.Word()]);
    }

    [Fact]
    public void Rain_on_both_sides_of_midnight_makes_no_rain_day() =>
        Assert.Empty(new Diary().Dry(23).Rows(1, 8, 95, 6).Rows(1, 8, 95, 6).Dry(23).Replayed().Opened(RuleName.RainDay));

    [Fact]
    public void Each_day_opens_its_own_window()
    {
        var seen = new Diary().Rows(24, 8, 80, 11).Rows(24, 8, 80, 11).Replayed();

        Assert.Equal([Some.Clock(0, 10), Some.At(24).AddMinutes(10)], seen.Opened(RuleName.RainDay).Select(window => window.OpenedAt));
        Assert.Equal([Some.At(24), Some.At(48)], seen.Closed(RuleName.RainDay).Select(window => window.ClosedAt!.Value));
    }

    // 2 h 24 min are a tenth of a day.
    [Theory]
    [InlineData(2, false)]
    [InlineData(2.5, true)]
    public void A_window_has_the_whole_days_rain_and_mean_and_says_whether_too_much_of_it_is_unknown(double unknownHours, bool uncertain)
    {
        var seen = new Diary().Rows(12, 6, 80, 12).Rows(unknownHours, null, 80).Rows(12 - unknownHours, 9, 80, 3).Dry(2).Live(
            Some.Garden() with { Hold = TimeSpan.FromMinutes(10) });

        var window = Assert.Single(seen.Closed(RuleName.RainDay));
        Assert.Equal((15.0, uncertain), (Math.Round(window.RainMm!.Value, 6), window.Uncertain));
        Assert.InRange(window.MeanTempC!.Value, 7.2, 7.5);
    }

    [Fact]
    public void Frozen_rain_does_not_count()
    {
        var seen = new Diary().Rows(6, -1, 95, 15).Dry(18, tempC: 7).Replayed();

        Assert.Empty(seen.Opened(RuleName.RainDay));
    }

    [Fact]
    public void Dormant_buds_have_no_rain_day() =>
        Assert.Empty(new Diary().Rows(24, 8, 80, 20).Replayed(Some.Garden(stage: 0)).Opened(RuleName.RainDay));

    /// <summary>Days of 23, 24, 25 and, on Lord Howe Island, 23 and a half and 24 and a half hours: zone, midnight, length.</summary>
    public static TheoryData<string, string, double> Days => new()
    {
        { "Europe/Madrid", "2027-02-09T23:00Z", 24 },
        { "Europe/Madrid", "2027-03-27T23:00Z", 23 },
        { "Europe/Madrid", "2027-10-30T22:00Z", 25 },
        { "America/Los_Angeles", "2027-03-14T08:00Z", 23 },
        { "America/Los_Angeles", "2027-11-07T07:00Z", 25 },
        { "Australia/Lord_Howe", "2027-10-02T13:30Z", 23.5 },
        { "Australia/Lord_Howe", "2027-04-03T13:00Z", 24.5 },
    };

    [Theory]
    [MemberData(nameof(Days))]
    public void A_local_day_lasts_as_long_as_its_clocks_say(string zoneId, string midnight, double hours)
    {
        var (zone, start) = (TimeZoneInfo.FindSystemTimeZoneById(zoneId), Moment(midnight));

        Assert.Equal(start, LocalDay.EndOf(start.AddTicks(-1), zone));
        Assert.Equal(start.AddHours(hours), LocalDay.EndOf(start, zone));
        Assert.Equal(start.AddHours(hours), LocalDay.EndOf(start.AddHours(hours).AddTicks(-1), zone));
    }

    [Theory]
    [MemberData(nameof(Days))]
    public void Rain_in_the_first_and_the_last_half_hour_of_a_local_day_is_one_days_rain(string zoneId, string midnight, double hours)
    {
        var site = Some.Garden() with { Zone = TimeZoneInfo.FindSystemTimeZoneById(zoneId) };
        var start = Moment(midnight);

        // Eight millimetres in the half hour before, six in the first and six in the last half hour, eight after it.
        var seen = new Diary(start.AddHours(-0.5))
            .Rows(0.5, 8, 80, 8)
            .Rows(0.5, 8, 80, 6)
            .Dry(hours - 1)
            .Rows(0.5, 8, 80, 6)
            .Rows(0.5, 8, 80, 8)
            .Live(site);

        var window = Assert.Single(seen.Closed(RuleName.RainDay));
        Assert.Equal(start.AddHours(hours).AddMinutes(-20), window.OpenedAt);
        Assert.Equal(start.AddHours(hours), window.ClosedAt);
        Assert.Equal(12, window.RainMm!.Value, 9);
    }

    // Midnight on Lord Howe Island falls on the half hour in winter, so an interval of an hour reaches over it.
    [Fact]
    public void A_window_never_closes_before_it_opened_where_an_interval_reaches_over_midnight()
    {
        var site = Some.Garden() with { Zone = TimeZoneInfo.FindSystemTimeZoneById("Australia/Lord_Howe"), Step = TimeSpan.FromHours(1) };

        var seen = new Diary(Moment("2027-07-01T13:00Z"), rowMinutes: 60).Rows(1, 8, 80, 20).Dry(30).Replayed(site);

        var window = Assert.Single(seen.Closed(RuleName.RainDay));
        Assert.True(window.ClosedAt >= window.OpenedAt);
    }

    private static DateTimeOffset Moment(string text) =>
        DateTimeOffset.ParseExact(text, "yyyy-MM-dd'T'HH:mmK", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);
}
