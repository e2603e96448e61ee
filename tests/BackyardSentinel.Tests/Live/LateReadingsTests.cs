namespace BackyardSentinel.Live;

public sealed class LateReadingsTests
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2027, 3, 1, 6, 0, 0, TimeSpan.Zero));

    [Fact]
    public void A_burst_of_thousands_is_judged_once_when_it_is_over()
    {
        var late = new LateReadings(_time);
        for (var count = 1; count <= 5000; count++)
        {
            Assert.False(late.IsDue(count));
            _time.Advance(TimeSpan.FromMilliseconds(2));
        }

        _time.Advance(LateReadings.Quiet);
        Assert.True(late.IsDue(5000));
        late.Judged(TimeSpan.FromSeconds(1));
        Assert.False(late.IsDue(0));
    }

    [Fact]
    public void A_burst_without_an_end_is_judged_within_a_minute()
    {
        var late = new LateReadings(_time);
        var waited = 0;
        while (!late.IsDue(++waited))
            _time.Advance(TimeSpan.FromSeconds(1));
        Assert.InRange(waited, 60, 62);
    }

    [Fact]
    public void A_sensor_with_a_slow_clock_costs_ever_less_and_hourly_bursts_are_judged_each()
    {
        var late = new LateReadings(_time);
        Assert.InRange(JudgedIn(late, hours: 24, everySeconds: 60), 20, 36);
        Assert.True(late.KeepComing);
        _time.Advance(TimeSpan.FromHours(3));
        Assert.InRange(JudgedIn(late, hours: 24, everySeconds: 3600), 23, 24);
        Assert.False(late.KeepComing);
    }

    [Fact]
    public void A_slow_computer_rests_longer_than_it_works()
    {
        var late = new LateReadings(_time);
        late.Judged(TimeSpan.FromSeconds(40));
        Assert.Equal(TimeSpan.FromSeconds(800), late.Pause);
    }

    private int JudgedIn(LateReadings late, int hours, int everySeconds)
    {
        var (judged, count) = (0, 0);
        for (var second = 0; second < hours * 3600; second++)
        {
            if (second % everySeconds == 0)
                count++;
            if (late.IsDue(count))
            {
                judged++;
                count = 0;
                late.Judged(TimeSpan.FromSeconds(1));
            }

            _time.Advance(TimeSpan.FromSeconds(1));
        }

        return judged;
    }
}
