using BackyardSentinel.Influx;

namespace BackyardSentinel.Live;

/// <summary>
/// However a season is followed, in whatever stretches and with whatever coming late, what was told last of each moment is what one
/// look at the whole season tells.
/// </summary>
public sealed class SeasonFollowerTests : IDisposable
{
    private readonly WetWeeks _weeks = new();
    private readonly ForwardBook _book;
    private readonly Dictionary<string, string> _told = new(StringComparer.Ordinal);
    private SeasonFollower _follower;
    private ForwardMark _mark = new("target", 0, 0);

    public SeasonFollowerTests()
    {
        _book = _weeks.Book();
        _follower = new SeasonFollower(_weeks.Garden, _book);
    }

    public void Dispose()
    {
        _book.Dispose();
        _weeks.Dispose();
    }

    private static DateTimeOffset At(double hour) => WetWeeks.Begin.AddHours(hour);

    [Fact]
    public void In_stretches_the_same_is_told_as_at_once()
    {
        _weeks.Measure(0, 30);
        Assert.Equal((true, 30 * 36), Look(30));
        AssertWhole(30);
        // Without anything new nothing is told, but for intervals that have passed since.
        Assert.Equal((true, 0), Look(30));
        _weeks.Measure(30, 31);
        Assert.Equal((true, 36), Look(31));
        AssertWhole(31);
        _follower = new SeasonFollower(_weeks.Garden, _book);
        _weeks.Measure(31, 50);
        Assert.Equal((true, 19 * 36), Look(50));
        AssertWhole(50);
    }

    [Fact]
    public void After_a_long_time_off_a_day_is_told_at_once()
    {
        _weeks.Measure(0, 1);
        Look(1);
        _weeks.Measure(1, 100);
        List<(bool IsAll, int Readings)> looks = [];
        while (looks is [] or [.., (false, _)])
            looks.Add(Look(100));
        Assert.Equal([false, false, false, false, true], looks.Select(one => one.IsAll));
        Assert.Equal([24 * 36, 24 * 36, 24 * 36, 24 * 36, 3 * 36], looks.Select(one => one.Readings));
        AssertWhole(100);
    }

    // A server that cannot be reached until long after: what waited for it was asked for before seasons turned.
    [Theory]
    [InlineData(false)]
    [InlineData(true)] // Some of it was taken before.
    public void What_has_waited_over_the_turn_of_seasons_is_told(bool wasReached)
    {
        var began = _book.Began("target", At(30));
        _follower = new SeasonFollower(_weeks.Garden, _book, began);
        _weeks.Measure(0, wasReached ? 10 : 30);
        if (wasReached)
        {
            Look(10);
            _weeks.Measure(10, 30);
        }

        var years = At(24 * 365 * 3);
        Assert.Equal(began, _book.Began("target", years));
        _follower = new SeasonFollower(_weeks.Garden, _book, _book.Began("target", years));
        var waits = (wasReached ? 20 : 30) * 36;
        Assert.Equal(waits, _follower.CountSince(_mark, years));
        Assert.Equal(waits, _follower.Look(_mark, years).News.OfType<ReadingNews>().Count());

        // To another server it is new, and of that time nothing is asked for.
        Assert.Equal(years, _book.Began("another", years));
        _follower = new SeasonFollower(_weeks.Garden, _book, years);
        Assert.Equal(0, _follower.CountSince(_mark with { ReceivedUs = 0 }, years));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)] // What stood before a restart is known after it.
    public void What_comes_late_changes_what_was_told_and_takes_windows_back(bool isRestarted)
    {
        _weeks.Measure(0, 50);
        Look(50);
        var windows = _told.Where(one => one.Key.StartsWith("window", StringComparison.Ordinal)).ToList();
        Assert.NotEmpty(windows);
        // It froze on the wet day, and nothing is infected by frost.
        for (var at = At(27).AddMinutes(2.5); at < At(48); at = at.AddMinutes(5))
        {
            _weeks.Measure(Quantity.Temperature, at, -6, At(50).AddMinutes(1));
            _weeks.Measure(Quantity.Temperature, at.AddMinutes(1), -6, At(50).AddMinutes(1));
        }

        if (isRestarted)
            _follower = new SeasonFollower(_weeks.Garden, _book);
        Look(50.5);
        AssertWhole(50.5);
        Assert.NotEmpty(windows.Select(one => one.Key).Except(_told.Keys));
    }

    [Fact]
    public void The_journal_and_an_outage_change_what_was_told()
    {
        _weeks.Measure(0, 60);
        Look(60);
        using (var journal = JournalBook.Beside(_weeks.Garden.Store.Path))
            journal.Add(
                new StageEntry(0, "yard", "old-peach", DateOnly.FromDateTime(At(0).Date), 9), At(60));
        Look(60);
        AssertWhole(60);
        _weeks.Measure(60, 62);
        _weeks.Store.Commit(new StoreBatch { Outages = { At(60.5) } });
        Look(62);
        AssertWhole(62);
        // One that is noted late changes what was told of the time before the mark.
        _weeks.Store.Commit(new StoreBatch { Outages = { At(59).AddMinutes(2) } });
        Look(62);
        AssertWhole(62);
        _follower = new SeasonFollower(_weeks.Garden, _book);
        _weeks.Measure(62, 64);
        Look(64);
        AssertWhole(64);
    }

    [Fact]
    public void Whoever_stops_in_the_middle_is_told_again_from_the_mark_on()
    {
        _weeks.Measure(0, 30);
        Look(30);
        _weeks.Measure(30, 36);
        Assert.NotEmpty(_follower.Look(_mark, At(36)).News.Take(5).ToList());
        Look(36);
        AssertWhole(36);
    }

    [Fact]
    public void By_a_clock_that_was_set_back_all_is_told_again()
    {
        _weeks.Measure(0, 10);
        _mark = _mark with { ReceivedUs = (At(10).AddYears(1) - DateTimeOffset.UnixEpoch).Ticks / 10 };
        Assert.Equal((true, 360), Look(10));
        AssertWhole(10);
    }

    [Fact]
    public void A_clock_that_ran_ahead_by_as_much_as_a_sensors_may_was_not_set_back()
    {
        _weeks.Measure(0, 10);
        Look(10);
        var at = At(10) + SiteWatch.LargestLead;
        _mark = _mark with { ReceivedUs = (at - DateTimeOffset.UnixEpoch).Ticks / 10 };
        Assert.Equal((true, 0), Look(10));
        _mark = _mark with { ReceivedUs = _mark.ReceivedUs + 1 };
        Assert.Equal((true, 360), Look(10));
    }

    /// <summary>A batch may not be committed yet: until ten minutes ago, and no further, time has passed without a reading.</summary>
    [Fact]
    public void Silence_is_judged_ten_minutes_later()
    {
        _weeks.Measure(0, 10);
        SiteWatch? watch = null;
        Assert.NotEqual(0, Intervals(At(12)));
        for (var i = 0; i < 5; i++)
        {
            var due = watch!.NextDue + TimeSpan.FromMinutes(10);
            Assert.Equal(0, Intervals(due.AddMilliseconds(-1)));
            Assert.Equal(1, Intervals(due));
        }

        int Intervals(DateTimeOffset now)
        {
            var stretch = _follower.Look(_mark, now);
            var intervals = stretch.News.OfType<IntervalNews>().Select(news => watch = news.Watch).Count();
            _mark = stretch.Reached;
            return intervals;
        }
    }

    [Fact]
    public void How_much_is_still_to_come_is_counted()
    {
        _weeks.Measure(0, 10);
        Assert.Equal(360, _follower.CountSince(_mark, At(10)));
        Look(10);
        Assert.Equal(0, _follower.CountSince(_mark, At(10)));
        _weeks.Measure(10, 11);
        Assert.Equal(36, _follower.CountSince(_mark, At(11)));
    }

    /// <summary>Looks once and takes down what is told.</summary>
    private (bool IsAll, int Readings) Look(double hour)
    {
        var stretch = _follower.Look(_mark, At(hour));
        var readings = Note(_told, stretch.News);
        _mark = stretch.Reached;
        return (stretch.IsAll, readings);
    }

    private void AssertWhole(double hour)
    {
        Dictionary<string, string> whole = new(StringComparer.Ordinal);
        Note(whole, new SeasonFollower(_weeks.Garden, _book).Look(_mark with { ReceivedUs = 0, Journal = 0 }, At(hour)).News);
        Assert.Equal(whole.OrderBy(one => one.Key, StringComparer.Ordinal), _told.OrderBy(one => one.Key, StringComparer.Ordinal));
    }

    private static int Note(Dictionary<string, string> told, IEnumerable<SeasonNews> stretch)
    {
        var readings = 0;
        foreach (var news in stretch)
        {
            switch (news)
            {
                case ReadingNews { Sensed: var sensed }:
                    readings++;
                    told[$"reading {sensed.Series} {sensed.Reading.Time:o}"] = $"{sensed.Reading.Value} {sensed.ReceivedAt:o}";
                    break;
                case IntervalNews { Watch: { LastInterval: { } interval } watch }:
                    told[$"interval {interval.Start:o}"] = $"{interval} {string.Join(' ', watch.Risks.Select(risk => risk.Level))}";
                    break;
                case WindowNews { Window: var window, IsTakenBack: true }:
                    Assert.True(told.Remove(Key(window)));
                    break;
                case WindowNews { Window: var window }:
                    told[Key(window)] = $"{window.Level} {window.ClosedAt:o}";
                    break;
                default:
                    break;
            }
        }

        return readings;

        static string Key(Infection.InfectionWindow window) => $"window {window.Planting} {window.Rule} {window.OpenedAt:o}";
    }
}
