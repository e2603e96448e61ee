using System.Text.Json;

namespace BackyardSentinel.Sensors;

public sealed class SensorTimesTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static readonly TimeZoneInfo Ljubljana = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana");

    // ISO 8601-1:2019, the extended calendar form; the moments by hand.
    [Theory]
    [InlineData("2027-03-01T05:00Z", "2027-03-01T05:00:00.000")]
    [InlineData("2027-03-01t05:00:07z", "2027-03-01T05:00:07.000")]
    [InlineData("2027-03-01 05:00:07.5Z", "2027-03-01T05:00:07.500")]
    [InlineData("2027-03-01T05:00:07,12Z", "2027-03-01T05:00:07.120")]
    [InlineData("2027-03-01T05:00:07.123999Z", "2027-03-01T05:00:07.123")]
    [InlineData("2027-03-01T05:00:00+02", "2027-03-01T03:00:00.000")]
    [InlineData("2027-03-01T05:00:00-0330", "2027-03-01T08:30:00.000")]
    [InlineData("2027-03-01T05:00:00+00:59", "2027-03-01T04:01:00.000")]
    [InlineData("2027-03-01T05:00:00+14:00", "2027-02-28T15:00:00.000")]
    [InlineData("2027-03-01T23:59:60Z", "2027-03-01T23:59:59.000")] // A leap second.
    [InlineData("2028-02-29T23:59:59Z", "2028-02-29T23:59:59.000")]
    [InlineData("0002-01-01T00:00:00Z", "0002-01-01T00:00:00.000")]
    [InlineData("9998-12-31T00:00:00Z", "9998-12-31T00:00:00.000")]
    [InlineData("  2027-03-01T05:00Z ", "2027-03-01T05:00:00.000")]
    public void A_time_with_a_zone_is_read_to_the_millisecond(string text, string utc)
    {
        Assert.True(Read(text, null, out var time, out var reason), reason);
        Assert.Equal(utc, time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff", CultureInfo.InvariantCulture));
        Assert.Null(reason);
    }

    [Theory]
    [InlineData("2027-03-01T05Z")]
    [InlineData("2027-03-01T05:00:0")]
    [InlineData("2027-03-01T05:00:")]
    [InlineData("2027/03/01T05:00Z")]
    [InlineData("2027-03/01T05:00Z")]
    [InlineData("2027-03-01_05:00Z")]
    [InlineData("2027-03-01T05.00Z")]
    [InlineData("2027-3-01T05:00:00Z")]
    [InlineData("2027-00-01T05:00Z")]
    [InlineData("2027-13-01T05:00Z")]
    [InlineData("2027-03-00T05:00Z")]
    [InlineData("2027-03-32T05:00Z")]
    [InlineData("2027-02-29T05:00Z")]
    [InlineData("2027-03-01T24:00Z")]
    [InlineData("2027-03-01T05:60Z")]
    [InlineData("2027-03-01T05:00:61Z")]
    [InlineData("2027-03-01T05:00:0Z")]
    [InlineData("2027-03-01T05:00:00.Z")]
    [InlineData("2027-03-01T05:00:00X")]
    [InlineData("2027-03-01T05:00:00+2")]
    [InlineData("2027-03-01T05:00:00+020")]
    [InlineData("2027-03-01T05:00:00+15:00")]
    [InlineData("2027-03-01T05:00:00+02:60")]
    [InlineData("2027-03-01T05:00:00+02:00:00")]
    [InlineData("0000-03-01T05:00Z")]
    [InlineData("0001-03-01T05:00Z")]
    [InlineData("9999-03-01T05:00Z")]
    [InlineData("yesterday")]
    public void What_is_no_such_time_is_refused(string text)
    {
        Assert.False(Read(text, null, out _, out var reason));
        Assert.NotNull(reason);
    }

    // Seconds, milliseconds, microseconds and nanoseconds since 1970.
    [Theory]
    [InlineData("1803877200", 1_803_877_200_000)]
    [InlineData("1803877200.0014", 1_803_877_200_001)]
    [InlineData("99999999999", 99_999_999_999_000)]
    [InlineData("100000000000", 100_000_000_000)]
    [InlineData("99999999999999", 99_999_999_999_999)]
    [InlineData("100000000000000", 100_000_000_000)]
    [InlineData("99999999999999000", 99_999_999_999_999)]
    [InlineData("100000000000000000", 100_000_000_000)]
    [InlineData("-1.5", -1_500)]
    [InlineData("0", 0)]
    public void The_size_of_an_epoch_tells_its_unit(string text, long ms)
    {
        Assert.True(Read(text, null, out var time, out _));
        Assert.Equal(ms, time.ToUnixTimeMilliseconds());
    }

    [Theory]
    [InlineData("-60000000001")]
    [InlineData("1e300")]
    [InlineData("-1e300")]
    public void An_epoch_beyond_the_calendar_is_refused(string text)
    {
        Assert.False(Read(text, null, out _, out var reason));
        Assert.Equal("the time is out of range", reason);
    }

    // In Slovenia clocks go forward at 2:00 on 28 March 2027 and back at 3:00 on 31 October 2027.
    [Theory]
    [InlineData("2027-03-01T05:00:00", "2027-03-01T06:00:00Z", "2027-03-01T04:00:00Z")]
    [InlineData("2027-07-01T05:00:00", "2027-07-01T06:00:00Z", "2027-07-01T03:00:00Z")]
    [InlineData("2027-03-28T02:30:00", "2027-03-28T06:00:00Z", null)]
    [InlineData("2027-10-31T02:30:00", "2027-10-31T00:31:00Z", "2027-10-31T00:30:00Z")]
    [InlineData("2027-10-31T02:30:00", "2027-10-31T01:19:59Z", "2027-10-31T00:30:00Z")]
    [InlineData("2027-10-31T02:30:00", "2027-10-31T01:20:00Z", "2027-10-31T01:30:00Z")] // Ten minutes ahead may be.
    public void A_wall_clock_is_read_in_its_zone_and_of_a_double_hour_the_later_that_has_come(string text, string near, string? utc)
    {
        var clock = new TimeReader.WallClock(Ljubljana, DateTimeOffset.Parse(near, CultureInfo.InvariantCulture));

        var read = Read(text, clock, out var time, out var reason);
        Assert.Equal(utc, read ? time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture) : null);
        Assert.Equal(read ? null : "the time is left out where the clocks are put forward", reason);
    }

    [Fact]
    public void Without_a_zone_of_its_own_or_the_series_a_wall_clock_says_nothing()
    {
        Assert.False(Read("2027-03-01T05:00:00", null, out _, out var reason));
        Assert.Equal("the time has no zone, so the moment it means is not known", reason);
    }

    [Theory]
    [InlineData("2027-03-01T06:10:00Z", null)]
    [InlineData("2027-03-01T06:10:00.001Z", "the sensor's time lies more than 10 minutes ahead; the time of arrival is taken")]
    [InlineData("2026-02-28T06:00:00Z", null)]
    [InlineData(
        "2026-02-28T05:59:59Z", "the sensor's time lies more than a year back, so its clock is not set; the time of arrival is taken")]
    [InlineData("1999-12-31T23:59:59Z", "the sensor's time lies before 2000; the time of arrival is taken")]
    public void A_sensors_own_time_is_taken_where_it_can_be_right(string own, string? note)
    {
        var result = Message(own, retained: false);

        var reading = Assert.Single(result.Readings).Reading;
        Assert.Equal(note is null ? DateTimeOffset.Parse(own, CultureInfo.InvariantCulture) : Now, reading.Time);
        Assert.Equal(note is null ? [] : [note], result.Remarks.Select(remark => remark.Reason.Text));
    }

    [Theory]
    [InlineData("2027-02-28T06:00:00Z", null)]
    [InlineData("2027-02-28T05:59:59Z", "retained, and older than a day")]
    [InlineData("1999-12-31T23:59:59Z", "retained, age unknown")]
    public void A_retained_message_counts_for_a_day(string own, string? reason)
    {
        var result = Message(own, retained: true);

        Assert.Equal(reason is null ? 1 : 0, result.Readings.Count);
        Assert.Equal(reason is null ? [] : [reason], result.Remarks.Select(remark => remark.Reason.Text));
    }

    [Fact]
    public void A_clock_that_was_set_back_does_not_hold_the_times_of_arrival()
    {
        var map = new PayloadMap([Series(null)]);
        DateTimeOffset Heard(DateTimeOffset at) => map.Read("a/b", "1"u8.ToArray(), at, false).Readings[0].Reading.Time;

        Assert.Equal(Now, Heard(Now));
        Assert.Equal(Now.AddMilliseconds(1), Heard(Now.AddMinutes(-10)));
        Assert.Equal(Now.AddHours(-1), Heard(Now.AddHours(-1)));
    }

    private static bool Read(string text, TimeReader.WallClock? clock, out DateTimeOffset time, out string? reason)
    {
        using var json = JsonDocument.Parse($"\"{JsonEncodedText.Encode(text)}\"");
        var isRead = TimeReader.TryRead(json.RootElement, clock, out time, out var why);
        reason = why?.Text;
        return isRead;
    }

    private static PayloadResult Message(string own, bool retained) =>
        new PayloadMap([Series("at")]).Read("a/b", Encoding.UTF8.GetBytes($"{{\"t\":1,\"at\":\"{own}\"}}"), Now, retained);

    private static SeriesMap Series(string? time) => new()
    {
        SiteId = "yard",
        Quantity = Quantity.Temperature,
        Topic = "a/b",
        Path = time is null ? null : "t",
        TimePath = time,
    };
}
