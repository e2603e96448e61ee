using BackyardSentinel.Alerting;
using NodaTime;

namespace BackyardSentinel.Tests.Delivery;

/// <summary>Ends of quiet hours over a year against NodaTime, a general library with a time zone database of its own.</summary>
public class QuietHoursAgainstAnotherClockTests
{
    [Theory]
    [InlineData("Europe/Ljubljana", 22, 0, 7, 0)]
    [InlineData("Europe/Ljubljana", 1, 30, 2, 30)]
    [InlineData("Australia/Lord_Howe", 23, 15, 1, 45)]
    [InlineData("Australia/Lord_Howe", 0, 0, 2, 15)]
    [InlineData("America/New_York", 13, 0, 15, 0)]
    [InlineData("America/New_York", 20, 0, 1, 59)]
    public void The_spans_of_a_year_are_the_same(string zoneId, int fromHour, int fromMinute, int toHour, int toMinute)
    {
        var (from, to) = (new TimeOnly(fromHour, fromMinute), new TimeOnly(toHour, toMinute));
        var quiet = new QuietHours(from, to);
        var zone = TimeZoneInfo.FindSystemTimeZoneById(zoneId);
        var other = DateTimeZoneProviders.Tzdb[zoneId];
        for (var day = new LocalDate(2027, 1, 1); day.Year == 2027; day = day.PlusDays(1))
        {
            var start = Moment(day, from, other, last: false);
            var end = Moment(from < to ? day : day.PlusDays(1), to, other, last: true);

            Assert.Null(quiet.EndAt(start.AddMinutes(-1), zone));
            Assert.Equal(end, quiet.EndAt(start, zone));
            Assert.Equal(end, quiet.EndAt(end.AddMinutes(-1), zone));
            Assert.Null(quiet.EndAt(end, zone));
        }
    }

    private static DateTimeOffset Moment(LocalDate day, TimeOnly time, DateTimeZone zone, bool last)
    {
        var mapping = zone.MapLocal(day.At(new LocalTime(time.Hour, time.Minute)));
        return mapping.Count switch
        {
            0 => mapping.EarlyInterval.End.ToDateTimeOffset(),
            1 => mapping.Single().ToDateTimeOffset(),
            _ => (last ? mapping.Last() : mapping.First()).ToDateTimeOffset(),
        };
    }
}
