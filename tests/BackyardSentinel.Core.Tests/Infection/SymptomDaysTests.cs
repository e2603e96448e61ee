namespace BackyardSentinel.Tests.Infection;

/// <summary>The days on which curl can show are counted by the leaves of the window's own season.</summary>
public sealed class SymptomDaysTests
{
    private static readonly SeasonCalendar North = new(46);

    [Theory]
    [InlineData("2027-03-14", "2027-04-08")] // Leaves on 10 April: seven days later is the ninth day.
    [InlineData("2027-04-07", "2027-04-08")]
    [InlineData("2027-04-09", "2027-04-09")]
    [InlineData("2027-05-20", "2027-05-20")]
    [InlineData("2026-04-20", "2026-04-20")]
    [InlineData("2028-03-14", "2028-03-14")]
    public void A_window_is_counted_by_the_leaves_of_its_own_season(string opened, string from)
    {
        var leaves = new Leaves();
        leaves.Came("2026-04-05", "2026-04-05");
        leaves.Came("2027-04-12", "2027-04-12");
        leaves.Came("2027-04-10", "2027-04-20"); // More became known.

        Assert.Equal(Day(from), leaves.Days.CountedFrom(Day(opened)));
        Assert.False(leaves.Days.Awaits(Day(opened)));
    }

    [Fact]
    public void Without_leaves_it_waits_as_if_they_came_tomorrow()
    {
        var leaves = new Leaves();
        leaves.Came("2026-04-05", "2026-04-05");
        leaves.Came(null, "2027-03-30");

        Assert.Equal(Day("2027-03-29"), leaves.Days.CountedFrom(Day("2027-03-14")));
        Assert.True(leaves.Days.Awaits(Day("2027-03-14")));
        // Last year's windows do not wait for them.
        Assert.Equal(Day("2026-05-14"), leaves.Days.CountedFrom(Day("2026-05-14")));
        Assert.False(leaves.Days.Awaits(Day("2026-05-14")));

        leaves.Came("2027-04-02", "2027-04-02");
        Assert.Equal(Day("2027-03-31"), leaves.Days.CountedFrom(Day("2027-03-14")));
        Assert.False(leaves.Days.Awaits(Day("2027-03-14")));
    }

    [Fact]
    public void Without_a_calendar_a_season_goes_by_the_leaves_themselves()
    {
        var leaves = new SymptomDays();
        leaves.NoteLeaves(null, Day("2026-04-05"), Day("2026-04-05"));
        leaves.NoteLeaves(null, Day("2027-04-10"), Day("2027-04-10"));

        Assert.Equal(Day("2026-04-03"), leaves.CountedFrom(Day("2026-03-14")));
        Assert.Equal(Day("2027-04-08"), leaves.CountedFrom(Day("2027-03-14")));
    }

    private static DateOnly Day(string day) => DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    private sealed class Leaves
    {
        public SymptomDays Days { get; } = new();

        public void Came(string? on, string today) => Days.NoteLeaves(North.SeasonOf(Day(today)), on is null ? null : Day(on), Day(today));
    }
}
