using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;
using NodaTime;

namespace BackyardSentinel.Logs;

/// <summary>
/// Times of local clocks, held against NodaTime, which has a copy of its own of the IANA time zone database. The days are past: the
/// copies may differ in rules to come.
/// </summary>
public sealed class LocalClockTests
{
    [Theory]
    [InlineData("Europe/Ljubljana", "2025-10-26")]
    [InlineData("Europe/Ljubljana", "2025-03-30")]
    [InlineData("Europe/Dublin", "2025-10-26")] // winter is the time that differs there
    [InlineData("Europe/Dublin", "2025-03-30")]
    [InlineData("Africa/Casablanca", "2022-03-27")]
    [InlineData("Africa/Casablanca", "2022-05-08")]
    [InlineData("Africa/Windhoek", "2010-04-04")]
    [InlineData("Africa/Windhoek", "2010-09-05")]
    [InlineData("Europe/Moscow", "2014-10-26")] // the zone's own time was changed
    [InlineData("Australia/Lord_Howe", "2025-04-06")] // by half an hour
    [InlineData("Pacific/Apia", "2011-12-30")] // a day left out
    [InlineData("America/Havana", "2015-11-01")] // from one to midnight
    public void A_local_time_is_the_moments_that_another_library_finds(string id, string day)
    {
        var (zone, other) = (TimeZoneInfo.FindSystemTimeZoneById(id), DateTimeZoneProviders.Tzdb[id]);
        var noon = DateTime.Parse(day, System.Globalization.CultureInfo.InvariantCulture).AddHours(12);
        var changes = 0;
        for (var local = noon.AddDays(-2); local < noon.AddDays(2); local = local.AddMinutes(10))
        {
            var found = LocalClock.Moments(local, zone);
            var expected = other.MapLocal(LocalDateTime.FromDateTime(local));
            changes += expected.Count == 1 ? 0 : 1;

            Assert.Equal(expected.Count == 0, found is null);
            if (found is not { } moments)
                continue;
            Assert.Equal(expected.First().ToDateTimeOffset(), moments.First);
            Assert.Equal(expected.Last().ToDateTimeOffset(), moments.Last);
        }

        Assert.True(changes > 0, "The day holds no change.");
    }

    [Fact]
    public void Each_row_of_an_Irish_night_with_25_hours_has_a_time_of_its_own()
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Dublin");
        var times = new LogTime(zone);
        var first = new DateTimeOffset(2025, 10, 25, 22, 0, 0, TimeSpan.Zero);
        for (var moment = first; moment < first.AddHours(5); moment = moment.AddMinutes(10))
        {
            var shown = TimeZoneInfo.ConvertTime(moment, zone).DateTime;
            Assert.True(
                times.TryRead(shown.ToString("yyyy-MM-dd HH:mm", System.Globalization.CultureInfo.InvariantCulture), out var read));
            Assert.Equal(moment, read);
            // A sensor whose message came within ten minutes of its own time.
            var clock = new TimeReader.WallClock(zone, moment.AddMinutes(1));
            Assert.Equal(moment, clock.Moment(shown));
        }
    }
}
