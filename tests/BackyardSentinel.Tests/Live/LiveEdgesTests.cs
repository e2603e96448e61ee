using BackyardSentinel.Delivery;
using BackyardSentinel.Hosting;

namespace BackyardSentinel.Live;

// How far a clock may leap, how long a burst may last, when what failed is tried again: at the limit and beside it. All assumed.
public sealed class LiveEdgesTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2027, 3, 22, 12, 0, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("live-edges-").FullName;
    private readonly LogLines _said = new();

    public void Dispose()
    {
        _said.Dispose();
        Directory.Delete(_folder, true);
    }

    [Theory]
    [InlineData(60 * 86400, 0, ClockNews.None)] // A service may have been off for two months,
    [InlineData((60 * 86400) + 1, 0, ClockNews.Doubted)]
    [InlineData(-600, 0, ClockNews.None)] // a clock may drift by ten minutes,
    [InlineData(-601, 0, ClockNews.Doubted)]
    [InlineData(86_400, 10, ClockNews.None)] // a computer may sleep for a day.
    [InlineData(86_401, 10, ClockNews.Doubted)]
    [InlineData(-600, 10, ClockNews.None)]
    [InlineData(-601, 10, ClockNews.Doubted)]
    public void A_clock_may_leap_so_far_without_a_doubt(int seconds, int afterSeconds, ClockNews news)
    {
        var time = new SteppedTime(Now);
        var clock = new GardenClock(time, afterSeconds == 0 ? Now.AddSeconds(-seconds) : Now, _ => true, _ => true);
        if (afterSeconds > 0)
        {
            Assert.Equal(ClockNews.None, clock.Look());
            time.Advance(TimeSpan.FromSeconds(afterSeconds));
            time.Offset = TimeSpan.FromSeconds(seconds);
        }

        Assert.Equal(news, clock.Look());
        Assert.Equal((news == ClockNews.Doubted, false), (clock.IsDoubtful, clock.IsIgnored));
        Assert.Equal(news == ClockNews.Doubted ? seconds : 0, clock.OffBy.TotalSeconds);
        Assert.Equal(news == ClockNews.Doubted ? time.GetUtcNow().AddSeconds(-seconds) : time.GetUtcNow(), clock.Now);
    }

    [Theory]
    [InlineData(2026, ClockNews.SetBack)]
    [InlineData(2025, ClockNews.Behind)] // No year before this program was written.
    public void A_leap_that_stands_for_half_a_minute_is_acted_on(int year, ClockNews news)
    {
        var time = new SteppedTime(Now);
        var clock = new GardenClock(time, Now, _ => true, _ => true);
        clock.Look();
        time.Offset = Now.AddYears(year - 2027) - Now;
        Assert.Equal(ClockNews.Doubted, clock.Look());
        time.Advance(TimeSpan.FromSeconds(29.9));
        Assert.Equal(ClockNews.None, clock.Look());
        time.Advance(TimeSpan.FromSeconds(0.1));
        Assert.Equal(news, clock.Look());
        Assert.Equal((false, news == ClockNews.Behind), (clock.IsDoubtful, clock.IsIgnored));
        Assert.Equal(news == ClockNews.Behind ? Now.AddSeconds(30) : time.GetUtcNow(), clock.Now);
    }

    [Fact]
    public void A_doubt_begins_anew_where_the_clock_leaps_once_more_by_over_ten_minutes()
    {
        var time = new SteppedTime(Now);
        var clock = new GardenClock(time, Now, _ => true, _ => true);
        clock.Look();
        time.Offset = TimeSpan.FromDays(-2);
        Assert.Equal(ClockNews.Doubted, clock.Look());
        time.Advance(TimeSpan.FromSeconds(20));
        time.Offset -= TimeSpan.FromMinutes(10);
        Assert.Equal(ClockNews.None, clock.Look());
        time.Offset -= TimeSpan.FromSeconds(1);
        Assert.Equal(ClockNews.Doubted, clock.Look());
        time.Advance(TimeSpan.FromSeconds(29));
        Assert.Equal(ClockNews.None, clock.Look());
        time.Advance(TimeSpan.FromSeconds(1));
        Assert.Equal(ClockNews.SetBack, clock.Look());
    }

    [Fact]
    public void A_clock_that_is_ignored_stays_so_until_it_moves_by_over_ten_minutes()
    {
        var time = new SteppedTime(Now) { Offset = TimeSpan.FromDays(-21) };
        var clock = new GardenClock(time, Now, _ => true, _ => true);
        Assert.Equal(ClockNews.Doubted, clock.Look());
        time.Advance(TimeSpan.FromSeconds(30));
        Assert.Equal(ClockNews.Behind, clock.Look());
        time.Offset += TimeSpan.FromMinutes(10);
        Assert.Equal((ClockNews.None, false), (clock.Look(), clock.IsDoubtful));
        time.Offset += TimeSpan.FromSeconds(1);
        Assert.Equal((ClockNews.Doubted, true), (clock.Look(), clock.IsIgnored));
    }

    [Theory]
    [InlineData(0)] // It was set before the service began,
    [InlineData(7200)] // or two hours later, and did not move by it.
    public void A_clock_that_a_time_server_has_set_is_believed_though_the_store_was_written_by_one_that_was_ahead(int setAfterSeconds)
    {
        var time = new SteppedTime(Now);
        var isSet = setAfterSeconds == 0;
        var clock = new GardenClock(time, Now.AddMinutes(90), _ => true, _ => true, () => isSet);
        Assert.Equal(isSet ? Now + GardenClock.Tolerance : DateTimeOffset.MaxValue, clock.StoredUntil);
        Assert.Equal(ClockNews.Doubted, clock.Look());
        time.Advance(GardenClock.Patience);
        Assert.Equal(isSet ? ClockNews.SetBack : ClockNews.Behind, clock.Look());
        if (isSet)
            return;
        time.Advance(TimeSpan.FromSeconds(setAfterSeconds));
        Assert.Equal(ClockNews.None, clock.Look());
        isSet = true;
        Assert.Equal(ClockNews.SetBack, clock.Look());
        Assert.Equal((false, time.GetUtcNow()), (clock.IsIgnored, clock.Now));
    }

    [Fact]
    public void A_year_before_this_program_was_written_is_not_believed_whoever_has_set_it()
    {
        var time = new SteppedTime(Now.AddYears(-2));
        var clock = new GardenClock(time, Now, _ => true, _ => true, () => true);
        clock.Look();
        time.Advance(GardenClock.Patience);
        Assert.Equal(ClockNews.Behind, clock.Look());
        time.Advance(GardenClock.Patience);
        Assert.Equal((ClockNews.None, true), (clock.Look(), clock.IsIgnored));
    }

    [Theory]
    [InlineData(600, true, null)]
    [InlineData(601, true, null)]
    [InlineData(600, false, null)]
    [InlineData(601, false, 600)]
    public void What_is_stored_ahead_of_the_clock_is_true_only_where_the_store_shows_it(int secondsAhead, bool livedOn, int? untilSeconds)
    {
        var clock = new GardenClock(new SteppedTime(Now), Now.AddSeconds(secondsAhead), _ => true, _ => livedOn);
        Assert.Equal(untilSeconds is { } until ? Now.AddSeconds(until) : DateTimeOffset.MaxValue, clock.StoredUntil);
    }

    [Fact]
    public void A_burst_is_over_after_three_seconds_or_a_minute()
    {
        var time = new FakeTimeProvider(Now);
        var late = new LateReadings(time);
        Assert.False(late.IsDue(1));
        time.Advance(TimeSpan.FromSeconds(2.999));
        Assert.False(late.IsDue(1));
        time.Advance(TimeSpan.FromSeconds(0.001));
        Assert.True(late.IsDue(1));
        // One that is gone begins anew.
        Assert.False(late.IsDue(0));
        Assert.False(late.IsDue(1));

        late = new LateReadings(time);
        for (var second = 0; second < 60; second++)
        {
            Assert.False(late.IsDue(second + 1));
            time.Advance(TimeSpan.FromSeconds(1));
        }

        Assert.True(late.IsDue(61));
    }

    [Fact]
    public void Pauses_double_while_readings_keep_coming_and_fall_back_after_one()
    {
        var time = new FakeTimeProvider(Now);
        var late = new LateReadings(time);
        List<(double Minutes, bool KeepComing)> told = [];
        for (var i = 0; i < 8; i++)
        {
            late.Judged(TimeSpan.FromSeconds(1));
            told.Add((late.Pause.TotalMinutes, late.KeepComing));
            Assert.False(late.IsDue(1));
            time.Advance(late.Pause - TimeSpan.FromSeconds(1));
            Assert.False(late.IsDue(1));
            time.Advance(TimeSpan.FromSeconds(1));
            Assert.True(late.IsDue(1));
        }

        Assert.Equal(
            [(1, false), (2, false), (4, false), (8, true), (16, true), (32, true), (60, true), (60, true)], told);
        time.Advance(late.Pause); // Twice the pause without any.
        late.Judged(TimeSpan.FromSeconds(3));
        Assert.Equal(1, late.Pause.TotalMinutes);
        late.Judged(TimeSpan.FromSeconds(7));
        Assert.Equal(140, late.Pause.TotalSeconds);
        late.Judged(TimeSpan.FromHours(1));
        Assert.Equal(60, late.Pause.TotalMinutes);
    }

    [Fact]
    public void Old_readings_that_cannot_be_turned_into_hours_are_tried_again_an_hour_later()
    {
        var path = Path.Combine(_folder, "garden.db");
        var store = SentinelStore.Open(path);
        var old = new OldReadings(store, 0, _said.Logger);
        SampleStore.Change(path, "alter table hours rename to away");
        old.Look(Now);
        Assert.StartsWith(
            "Readings older than 0 years could not be turned into hourly", Assert.Single(_said.Lines), StringComparison.Ordinal);
        old.Look(Now.AddMinutes(59));
        Assert.Single(_said.Lines);
        old.Look(Now.AddHours(1));
        Assert.Equal(2, _said.Lines.Count);
        // A clock that was set back does not make it wait.
        old.Look(Now);
        Assert.Equal(3, _said.Lines.Count);
        new OldReadings(store, null, _said.Logger).Look(Now);
        Assert.Equal(3, _said.Lines.Count);
        store.Dispose();
    }

    [Fact]
    public void An_alert_gets_a_row_for_each_receiver_and_is_over_once_its_time_is()
    {
        List<string> told = [];
        var outbox = new AlertOutbox(
            [
                new ReceiverSettings { Id = "phone", UsefulFor = TimeSpan.FromHours(1) }, new ReceiverSettings { Id = "wall" },
            ],
            alert => new AlertText("title", "text").For(alert),
            () => told.Add("committed"),
            message => told.Add(message.Id));
        var alert = ExampleAlerts.OfEveryKind()[0];
        var message = outbox.Say(alert) with { UsefulUntil = alert.At.AddHours(2) };
        Assert.Equal(["Waiting ", "Waiting "], Rows(alert.At.AddHours(2).AddMilliseconds(-1)));
        const string passed = "ExpiredReported its time had passed when it was first seen";
        Assert.Equal([passed, passed], Rows(alert.At.AddHours(2)));
        Assert.Equal(["ExpiredReported it fell", "ExpiredReported it fell"], Rows(alert.At, "it fell"));
        // Readings come up to a day late; what lay longer was for its own time.
        message = message with { UsefulUntil = alert.At.AddDays(3) };
        Assert.Equal(["Waiting ", "Waiting "], Rows(alert.At.AddDays(1)));
        Assert.Equal([passed, passed], Rows(alert.At.AddDays(1).AddMilliseconds(1)));
        outbox.Committed([]);
        Assert.Empty(told);
        outbox.Committed([message, message]);
        Assert.Equal(["committed", message.Id, message.Id], told);

        IEnumerable<string> Rows(DateTimeOffset now, string? over = null) =>
            outbox.Rows(message, now, over).Select(row => $"{row.State} {row.LastAnswer}");
    }
}
