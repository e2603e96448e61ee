namespace BackyardSentinel.Tests.Weather;

public class SunTimesTests
{
    private static readonly Gen<DateOnly> Day = Gen.Int[0, 365 * 60].Select(days => new DateOnly(1990, 1, 1).AddDays(days));

    // Sources: suncalc 2.0.2 (BSD), the astronomy library ephem 4.1.4 (MIT), and the same equations in another language,
    // at eleven places of five continents, among them days whose sunrise or sunset has another date in UTC.
    [Theory]
    [InlineData("suncalc")]
    [InlineData("ephem")]
    [InlineData("noaaF")]
    public void Rise_and_set_agree_with_other_almanacs_to_ten_seconds(string almanac)
    {
        var rows = OutsideData.Rows(OutsideData.Carried("sunrise_sunset.csv"));
        Assert.True(rows.Count > 80);
        var (polar, otherDate) = (0, 0);

        foreach (var row in rows)
        {
            var day = DateOnly.ParseExact(row["date"], "yyyy-MM-dd", CultureInfo.InvariantCulture);
            var sun = SunTimes.On(day, Number(row["lat"]), Number(row["lon"]), Hours(Number(row["tz_h"])));
            AssertWithin(10, row["noaaF_noon"], sun.Noon);
            AssertWithin(10, row[$"{almanac}_rise"], sun.Sunrise);
            AssertWithin(10, row[$"{almanac}_set"], sun.Sunset);

            var expected = row[$"{almanac}_rise"] != "null" ? SunState.Normal : day.Month == 6 ? SunState.PolarDay : SunState.PolarNight;
            Assert.Equal(expected, sun.State);
            polar += sun.State == SunState.Normal ? 0 : 1;
            otherDate += sun.Sunrise?.Day != day.Day || sun.Sunset?.Day != day.Day ? 1 : 0;
        }

        Assert.Equal(3, polar);
        Assert.True(otherDate > 15);
    }

    // Sources: an implementation of the solar position algorithm of a US energy laboratory (ISC licence), without
    // refraction, and the same equations in another language.
    [Fact]
    public void The_suns_height_agrees_with_other_almanacs_to_a_hundredth_of_a_degree()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("solar_position.csv"));
        Assert.Equal(5, rows.Count);

        foreach (var row in rows)
        {
            var at = Moment(row["utc"]);
            var position = SolarPosition.At(at);
            Assert.Equal(Number(row["spa_zenith"]), 90 - SunTimes.ElevationDeg(at, Number(row["lat"]), Number(row["lon"])), 0.01);
            Assert.Equal(Number(row["noaa_zenith"]), 90 - SunTimes.ElevationDeg(at, Number(row["lat"]), Number(row["lon"])), 2e-5);
            Assert.Equal(Number(row["spa_decl"]), position.DeclinationDeg, 0.01);
            Assert.Equal(Number(row["noaa_decl"]), position.DeclinationDeg, 2e-5);
            Assert.Equal(Number(row["noaa_eqtime_min"]), position.EquationOfTimeMinutes, 2e-4);
        }
    }

    // Source: Reda and Andreas 2004 (Solar Energy 76, 577–589), the worked example: zenith 50.11162°, of which the
    // refraction of its air (820 mbar, 11 °C) is 0.0163° (from memory).
    [Fact]
    public void The_published_example_of_a_solar_position_is_met()
    {
        var at = new DateTimeOffset(2003, 10, 17, 12, 30, 30, TimeSpan.FromHours(-7));

        Assert.Equal(50.11162 + 0.0163, 90 - SunTimes.ElevationDeg(at, 39.742476, -105.1786), 0.01);
    }

    // Source: the March equinox and the June and December solstices of 2024 in any almanac, to the minute; from memory.
    [Fact]
    public void Equinox_and_solstices_fall_where_almanacs_have_them()
    {
        Assert.Equal(0, SolarPosition.At(new(2024, 3, 20, 3, 6, 0, TimeSpan.Zero)).DeclinationDeg, 0.01);
        Assert.Equal(23.44, SolarPosition.At(new(2024, 6, 20, 20, 51, 0, TimeSpan.Zero)).DeclinationDeg, 0.01);
        Assert.Equal(-23.44, SolarPosition.At(new(2024, 12, 21, 9, 20, 0, TimeSpan.Zero)).DeclinationDeg, 0.01);
    }

    // Source: chillR 0.77 (an R package; values only); with days of polar night and of midnight sun.
    [Fact]
    public void The_length_of_the_day_agrees_with_the_reference_package()
    {
        var rows = OutsideData.Rows(OutsideData.Carried("daylength_chillR.csv"));
        Assert.True(rows.Count > 200);
        Assert.Contains(rows, row => Number(row["daylength"]) == 24);
        Assert.Contains(rows, row => Number(row["daylength"]) == 0);

        foreach (var row in rows)
        {
            var hours = SunTimes.DayLengthHours(int.Parse(row["jday"], CultureInfo.InvariantCulture), Number(row["lat"]));
            Assert.Equal(Number(row["daylength"]), hours, 1e-7);
        }
    }

    [Fact]
    public void Where_the_clock_goes_with_the_sun_the_noon_is_the_days_own_and_the_sun_stands_on_the_horizon_at_rise_and_set() =>
        Gen.Select(Day, Gen.Double[-62, 62], Gen.Double[-180, 180], Gen.Double[-2, 2]).Sample((day, latitude, longitude, ahead) =>
        {
            var zone = Hours(Math.Clamp(Math.Round(((longitude / 15) + ahead) * 4) / 4, -14, 14));
            var sun = SunTimes.On(day, latitude, longitude, zone);

            Assert.Equal(SunState.Normal, sun.State);
            Assert.Equal(day, DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(sun.Noon, zone).DateTime));
            Assert.InRange(sun.Sunrise!.Value, sun.Noon.AddHours(-10), sun.Noon.AddHours(-2));
            Assert.InRange(sun.Sunset!.Value, sun.Noon.AddHours(2), sun.Noon.AddHours(10));
            Assert.Equal(-50.0 / 60, SunTimes.ElevationDeg(sun.Sunrise.Value, latitude, longitude), 0.001);
            Assert.Equal(-50.0 / 60, SunTimes.ElevationDeg(sun.Sunset.Value, latitude, longitude), 0.001);
            Assert.True(
                SunTimes.ElevationDeg(sun.Noon, latitude, longitude)
                    >= SunTimes.ElevationDeg(sun.Noon.AddMinutes(20), latitude, longitude));
            Assert.True(
                SunTimes.ElevationDeg(sun.Noon, latitude, longitude)
                    >= SunTimes.ElevationDeg(sun.Noon.AddMinutes(-20), latitude, longitude));
            Assert.Equal(TimeSpan.Zero, sun.Noon.Offset);
        },
                iter: 500);

    // The two ways are of different authors, so this checks one by the other.
    [Fact]
    public void Both_lengths_of_the_day_agree_to_some_minutes() =>
        Gen.Select(Day, Gen.Double[-60, 60]).Sample((day, latitude) =>
        {
            var sun = SunTimes.On(day, latitude, 0, TimeZoneInfo.Utc);
            Assert.Equal((sun.Sunset!.Value - sun.Sunrise!.Value).TotalHours, SunTimes.DayLengthHours(day.DayOfYear, latitude), 0.2);
        }, iter: 300);

    [Fact]
    public void Changing_the_clocks_changes_no_sunrise()
    {
        var madrid = TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid");
        for (var day = new DateOnly(2027, 3, 26); day < new DateOnly(2027, 3, 31); day = day.AddDays(1))
        {
            var (plain, changed) = (SunTimes.On(day, 37.98, -1.13, Hours(0)), SunTimes.On(day, 37.98, -1.13, madrid));
            Assert.Equal(plain.Noon, changed.Noon, TimeSpan.FromSeconds(0.5));
            Assert.Equal(plain.Sunrise!.Value, changed.Sunrise!.Value, TimeSpan.FromSeconds(0.5));
            Assert.Equal(plain.Sunset!.Value, changed.Sunset!.Value, TimeSpan.FromSeconds(0.5));
        }
    }

    // Day by day through the year at 69.65° north: each moment is told on one day only, and none is left out.
    [Fact]
    public void Through_a_polar_year_the_sun_rises_and_sets_in_turn()
    {
        var moments = new List<(DateTimeOffset At, bool Rise)>();
        var states = new List<SunState>();
        for (var day = new DateOnly(2027, 1, 1); day.Year == 2027; day = day.AddDays(1))
        {
            var sun = SunTimes.On(day, 69.65, 18.96, Hours(1));
            states.Add(sun.State);
            Assert.Equal(sun.State == SunState.Normal, sun.Sunrise is not null && sun.Sunset is not null);
            if (sun.Sunrise is { } rise)
                moments.Add((rise, true));
            if (sun.Sunset is { } set)
                moments.Add((set, false));
        }

        for (var i = 1; i < moments.Count; i++)
        {
            Assert.True(moments[i].At > moments[i - 1].At);
            Assert.NotEqual(moments[i].Rise, moments[i - 1].Rise);
        }

        // Common knowledge of the place: dark from late November to mid January, bright from mid May to late July.
        Assert.InRange(states.Count(state => state == SunState.PolarNight), 45, 60);
        Assert.InRange(states.Count(state => state == SunState.PolarDay), 60, 75);
    }

    [Theory]
    [InlineData(90)]
    [InlineData(-90)]
    public void At_a_pole_there_is_an_answer_too(double latitude)
    {
        var june = SunTimes.On(new(2027, 6, 21), latitude, 0, TimeZoneInfo.Utc);

        Assert.Equal(latitude > 0 ? SunState.PolarDay : SunState.PolarNight, june.State);
        Assert.Equal(latitude > 0 ? 24 : 0, SunTimes.DayLengthHours(172, latitude));
        Assert.Null(june.Sunrise);
        Assert.Null(june.Sunset);
    }

    [Fact]
    public void A_place_or_day_that_cannot_be_is_refused()
    {
        var day = new DateOnly(2027, 2, 1);
        Assert.Throws<ArgumentOutOfRangeException>(() => SunTimes.On(day, 90.1, 0, TimeZoneInfo.Utc));
        Assert.Throws<ArgumentOutOfRangeException>(() => SunTimes.On(day, double.NaN, 0, TimeZoneInfo.Utc));
        Assert.Throws<ArgumentOutOfRangeException>(() => SunTimes.On(day, 0, 181, TimeZoneInfo.Utc));
        Assert.Throws<ArgumentOutOfRangeException>(() => SunTimes.ElevationDeg(Some.Midnight, 0, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => SunTimes.DayLengthHours(0, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => SunTimes.DayLengthHours(367, 0));
    }

    private static TimeZoneInfo Hours(double hours) =>
        TimeZoneInfo.CreateCustomTimeZone("test", TimeSpan.FromHours(hours), "test", "test");

    private static void AssertWithin(double seconds, string expected, DateTimeOffset? actual)
    {
        if (expected == "null")
            Assert.Null(actual);
        else
            Assert.InRange(Math.Abs((actual!.Value - Moment(expected)).TotalSeconds), 0, seconds);
    }

    private static DateTimeOffset Moment(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
