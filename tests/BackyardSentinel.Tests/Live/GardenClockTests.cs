using BackyardSentinel.Hosting;

namespace BackyardSentinel.Live;

/// <summary>Clocks that are wrong and become right: the cases of a computer without a battery, a bad time server, a sleep.</summary>
public sealed class GardenClockTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 22, 12, 0, 0, TimeSpan.Zero);
    private readonly SteppedTime _time = new(Now);

    [Fact]
    public void A_clock_that_is_years_ahead_for_ten_seconds_changes_nothing()
    {
        var clock = Clock(Now);
        Assert.Equal([ClockNews.None], Run(clock, 5));
        _time.Offset = TimeSpan.FromDays(450);
        Assert.Equal([ClockNews.Doubted], Run(clock, 10));
        Assert.True(clock.IsDoubtful);
        _time.Offset = TimeSpan.Zero;
        Assert.Equal([ClockNews.None], Run(clock, 5));
        Assert.False(clock.IsDoubtful);
        Assert.Equal(_time.GetUtcNow(), clock.Now);
    }

    [Fact]
    public void A_boot_three_weeks_in_the_past_counts_on_from_the_store_until_the_clock_is_set()
    {
        _time.Offset = TimeSpan.FromDays(-21);
        var clock = Clock(Now, livedOn: true);
        Assert.Equal([ClockNews.Doubted, ClockNews.Behind], Run(clock, 300));
        Assert.Equal(_time.GetUtcNow().AddDays(21), clock.Now);
        Assert.Equal(DateTimeOffset.MaxValue, clock.StoredUntil);
        _time.Offset = TimeSpan.FromSeconds(20);
        Assert.Equal([ClockNews.None], Run(clock, 1));
        Assert.Equal(_time.GetUtcNow(), clock.Now);
    }

    [Theory]
    [InlineData(-57)] // 1970
    [InlineData(-3)]
    public void A_boot_before_all_that_is_stored_and_no_network_for_a_month_still_runs(int years)
    {
        _time.Offset = Now.AddYears(years) - Now;
        var clock = Clock(Now);
        Assert.Equal([ClockNews.Doubted, ClockNews.Behind], Run(clock, 300));
        for (var day = 1; day <= 30; day++)
        {
            _time.Advance(TimeSpan.FromDays(1));
            Assert.Equal(ClockNews.None, clock.Look());
            Assert.False(clock.IsDoubtful);
        }

        Assert.InRange(clock.Now, Now.AddDays(30), Now.AddDays(30.1));
        _time.Offset = TimeSpan.Zero;
        Run(clock, 2);
        Assert.Equal(_time.GetUtcNow(), clock.Now);
    }

    [Fact]
    public void A_store_stamped_years_ahead_is_not_believed_and_the_clock_is()
    {
        var clock = Clock(Now.AddYears(11), livedOn: false);
        Assert.Equal(Now + GardenClock.Tolerance, clock.StoredUntil);
        var seconds = 0;
        while (clock.Look() != ClockNews.SetBack)
        {
            Assert.True(clock.IsDoubtful);
            _time.Advance(TimeSpan.FromSeconds(1));
            Assert.True(++seconds < 60, "right within a minute");
        }

        Assert.Equal(_time.GetUtcNow(), clock.Now);
        Assert.Equal([ClockNews.None], Run(clock, 60));
    }

    [Theory]
    [InlineData(1, 0)] // An hour on is taken at once: a sleep looks the same.
    [InlineData(-1, 1)]
    public void A_step_of_an_hour_while_it_runs_is_followed(int hours, int setBack)
    {
        var clock = Clock(Now);
        Run(clock, 5);
        _time.Offset = TimeSpan.FromHours(hours);
        var news = Run(clock, 60);
        Assert.Equal(setBack, news.Count(one => one == ClockNews.SetBack));
        Assert.Equal(_time.GetUtcNow(), clock.Now);
    }

    [Fact]
    public void Seconds_and_a_slow_drift_are_no_news()
    {
        var clock = Clock(Now);
        for (var i = 0; i < 2000; i++)
        {
            _time.Advance(TimeSpan.FromMinutes(10));
            _time.Offset -= TimeSpan.FromSeconds(i % 100 == 0 ? 90 : 0.3);
            Assert.Equal(ClockNews.None, clock.Look());
            Assert.Equal(_time.GetUtcNow(), clock.Now);
        }
    }

    private GardenClock Clock(DateTimeOffset latest, bool livedOn = false) =>
        new(_time, latest, moment => moment >= Now.AddYears(-1), _ => livedOn);

    private List<ClockNews> Run(GardenClock clock, int seconds)
    {
        List<ClockNews> news = [];
        for (var i = 0; i < seconds; i++)
        {
            if (clock.Look() is not ClockNews.None and var one) news.Add(one);
            _time.Advance(TimeSpan.FromSeconds(1));
        }

        clock.Look();
        return news.Count > 0 ? news : [ClockNews.None];
    }
}
