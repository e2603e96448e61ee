using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

/// <summary>
/// The nights on which clocks change. Source of the changes: the IANA time zone database as known for these zones; in the EU
/// at 01:00 UTC on the last Sundays of March and October (Directive 2000/84/EC); Lord Howe Island moves by half an hour.
/// </summary>
public class QuietHoursTests
{
    [Theory]
    // An ordinary night, a short one and a long one.
    [InlineData("Europe/Ljubljana", "22:00", "06:00", "2027-02-01T12:00Z", "2027-02-01T21:00Z", "2027-02-02T05:00Z")]
    [InlineData("Europe/Ljubljana", "22:00", "06:00", "2027-03-27T12:00Z", "2027-03-27T21:00Z", "2027-03-28T04:00Z")]
    [InlineData("Europe/Ljubljana", "22:00", "06:00", "2027-10-30T12:00Z", "2027-10-30T20:00Z", "2027-10-31T05:00Z")]
    // The end falls into the hour that is skipped, or that comes twice.
    [InlineData("Europe/Ljubljana", "01:00", "02:30", "2027-03-27T12:00Z", "2027-03-28T00:00Z", "2027-03-28T01:00Z")]
    [InlineData("Europe/Ljubljana", "01:00", "02:30", "2027-10-30T12:00Z", "2027-10-30T23:00Z", "2027-10-31T01:30Z")]
    // So does the beginning.
    [InlineData("Europe/Ljubljana", "02:30", "06:00", "2027-03-27T12:00Z", "2027-03-28T01:00Z", "2027-03-28T04:00Z")]
    [InlineData("Europe/Ljubljana", "02:30", "06:00", "2027-10-30T12:00Z", "2027-10-31T00:30Z", "2027-10-31T05:00Z")]
    [InlineData("Australia/Lord_Howe", "01:00", "01:45", "2027-04-03T04:00Z", "2027-04-03T14:00Z", "2027-04-03T15:15Z")]
    [InlineData("Australia/Lord_Howe", "01:00", "02:15", "2027-10-02T04:00Z", "2027-10-02T14:30Z", "2027-10-02T15:30Z")]
    [InlineData("Australia/Lord_Howe", "22:00", "06:00", "2027-04-03T04:00Z", "2027-04-03T11:00Z", "2027-04-03T19:30Z")]
    public void A_night_has_one_span_of_quiet_hours(string zone, string from, string to, string noon, string starts, string ends)
    {
        var quiet = new QuietHours(TimeOnly.Parse(from, CultureInfo.InvariantCulture), TimeOnly.Parse(to, CultureInfo.InvariantCulture));
        var minutes = Enumerable.Range(0, 23 * 60).Select(minute => Moment(noon).AddMinutes(minute))
            .Select(at => (At: at, End: quiet.EndAt(at, TimeZoneInfo.FindSystemTimeZoneById(zone))))
            .Where(minute => minute.End is not null)
            .ToList();

        Assert.Equal((Moment(starts), Moment(ends).AddMinutes(-1)), (minutes[0].At, minutes[^1].At));
        Assert.Equal((Moment(ends) - Moment(starts)).TotalMinutes, minutes.Count);
        Assert.All(minutes, minute => Assert.Equal(Moment(ends), minute.End));
    }

    [Theory]
    [InlineData("Europe/Ljubljana", "2027-03-28T00:30Z", "2027-03-28T05:00Z")]
    [InlineData("Europe/Ljubljana", "2027-10-31T00:30Z", "2027-10-31T06:00Z")]
    [InlineData("Australia/Lord_Howe", "2027-04-03T14:45Z", "2027-04-03T20:30Z")]
    public void The_messages_of_such_a_night_go_out_once(string zone, string at, string ends)
    {
        var options = new AlertPolicyOptions
        {
            Zone = TimeZoneInfo.FindSystemTimeZoneById(zone),
            Quiet = new QuietHours(new(22, 0), new(7, 0)),
        };
        var hours = (Moment(at) - Some.Midnight).TotalHours;
        var sent = Told.From(
            [Told.Risen(Level.Likely, hours, spellStartHours: hours), Told.Risen(Level.Likely, hours + 1, tree: "gate-nectarine")],
            options
        ).Sent;

        Assert.Equal((Moment(ends), 2), (Assert.Single(sent).At, sent[0].Occasions.Count));
    }

    [Fact]
    public void Quiet_hours_of_no_length_are_refused() =>
        Assert.Contains(
            "two different times",
            Assert.Throws<ArgumentException>(() => new QuietHours(new(7, 0), new(7, 0))).Message,
            StringComparison.Ordinal);

    private static DateTimeOffset Moment(string text) =>
        DateTimeOffset.Parse(text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);
}
