using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Delivery;

// When something is tried again, given up, told of together or counted as dead: at the limit and just beside it. All assumed.
public sealed class OutboxEdgesTests : IDisposable
{
    private readonly FakeTimeProvider _time = new(Some.Morning);
    private readonly ScriptedReceiver _phone;
    private readonly OutboxBench _bench;

    public OutboxEdgesTests()
    {
        _phone = new ScriptedReceiver("phone", _time);
        _bench = new OutboxBench(_time, _phone);
    }

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => _bench.Dispose();

    [Theory]
    [InlineData(1, 0, 5)]
    [InlineData(2, 0, 30)]
    [InlineData(3, 0, 120)]
    [InlineData(4, 0, 600)]
    [InlineData(5, 0, 1800)]
    [InlineData(6, 0, 1800)]
    [InlineData(99, 1, 1980)]
    [InlineData(1, 0.5, 5.25)]
    [InlineData(1, 2, 5.5)]
    [InlineData(1, -1, 5)]
    public void Pauses_grow_to_half_an_hour_and_are_stretched_by_a_tenth_at_most(int failures, double jitter, double seconds) =>
        Assert.Equal(TimeSpan.FromSeconds(seconds), RetrySchedule.Pause(failures, jitter));

    [Theory]
    [InlineData(2, 0, 30)]
    [InlineData(3, 0, 80)]
    [InlineData(99, 1, 88)]
    public void Where_nothing_came_back_the_next_attempt_is_within_two_minutes(int failures, double jitter, double seconds)
    {
        Assert.Equal(TimeSpan.FromSeconds(seconds), RetrySchedule.Pause(failures, jitter, unanswered: true));
        Assert.True(WebhookReceiver.AttemptTimeout.TotalSeconds + seconds < 120);
    }

    [Fact]
    public void Before_the_first_failure_there_is_no_pause() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => RetrySchedule.Pause(0, 0));

    [Fact]
    public async Task The_path_is_dead_after_just_24_hours()
    {
        _phone.Answer = (_, _) => ScriptedReceiver.Down;
        _bench.Post("a");
        await _bench.Dispatcher.SettleAsync(Ct);
        _time.Advance(TimeSpan.FromHours(24) - TimeSpan.FromMilliseconds(1));
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Equal((false, Some.Morning), (_bench.Dispatcher.Health.IsDead, _bench.Dispatcher.Health.OpenSince!.Value));
        _time.Advance(TimeSpan.FromMilliseconds(1));
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.True(_bench.Dispatcher.Health.IsDead);
        Assert.Null(_bench.Dispatcher.Health.LastWorkedAt);
    }

    [Theory]
    [InlineData(30, 1)]
    [InlineData(31, 2)]
    public async Task A_clock_that_goes_back_by_more_than_half_a_minute_was_set_and_makes_due_what_waits(int seconds, int attempts)
    {
        var time = new Hosting.SteppedTime(Some.Morning);
        var phone = new ScriptedReceiver("phone", time) { Answer = (_, _) => ScriptedReceiver.Down };
        var dispatcher = new OutboxDispatcher(_bench.Outbox, [phone], new AlertPolicyOptions(), time, _bench.Said.Logger, new Random(1));
        _bench.Post("a");
        await dispatcher.SettleAsync(Ct);
        time.Offset = TimeSpan.FromSeconds(-seconds);
        await dispatcher.SettleAsync(Ct);
        Assert.Equal(attempts, phone.Attempts.Count);
    }

    [Theory]
    [InlineData(25 * 3600, false)]
    [InlineData((25 * 3600) + 1, true)]
    public async Task A_start_brings_back_attempts_set_more_than_25_hours_ahead(int secondsAhead, bool isDue)
    {
        _bench.Post("a");
        _bench.Outbox.Mark(_bench.Outbox.Rows()[0] with { NextMs = Some.Morning.AddSeconds(secondsAhead).ToUnixTimeMilliseconds() });
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Equal(isDue ? 1 : 0, _phone.Attempts.Count);
    }

    [Theory]
    [InlineData(1, "1 alert could not be sent", "It was due at 4 Mar 06:00 (UTC).\n- South wall: likely\nLook at how things stand now.")]
    [InlineData(
        5,
        "5 alerts could not be sent",
        "They were due between 4 Mar 06:00 and 4 Mar 06:04 (UTC).\n- South wall: likely\n- South wall: likely\n- South wall: likely\n"
            + "- South wall: likely\n- South wall: likely\nLook at how things stand now.")]
    [InlineData(
        7,
        "7 alerts could not be sent",
        "They were due between 4 Mar 06:00 and 4 Mar 06:06 (UTC).\n- South wall: likely\n- South wall: likely\n- South wall: likely\n"
            + "- South wall: likely\n- South wall: likely\nand 2 before them\nLook at how things stand now.")]
    public async Task What_did_not_get_through_is_told_in_one_message(int count, string title, string text)
    {
        await ExpireAsync(count);
        var digest = Assert.Single(_phone.Got);
        Assert.Equal((title, text), (digest.Title, digest.Text));
        var made = digest.At.ToUnixTimeMilliseconds();
        Assert.Equal(($"digest-phone-{made}", "digest/phone", "south-wall"), (digest.Id, digest.Episode, digest.Site));
        Assert.Equal(
            [
                ("count", $"{count}"), ("first", "2027-03-04T06:00:00Z"),
                ("ids", string.Join(' ', Enumerable.Range(0, count).Select(i => $"a{i}"))),
                ("last", $"2027-03-04T06:0{count - 1}:00Z"),
            ],
            digest.Facts.Select(one => (one.Key, one.Value)));
    }

    [Fact]
    public async Task A_digest_counts_a_hundred_and_the_next_one_the_rest()
    {
        await ExpireAsync(101);
        Assert.Equal(["100", "1"], _phone.Got.Select(one => one.Facts["count"]));
        var made = _phone.Got.First().At.ToUnixTimeMilliseconds();
        Assert.Equal([$"digest-phone-{made}", $"digest-phone-{made + 1}"], _phone.Got.Select(one => one.Id));
        Assert.All(_bench.Outbox.Rows(), row => Assert.NotEqual(OutboxState.Expired, row.State));
    }

    [Fact]
    public async Task A_digest_goes_out_though_earlier_ones_have_been_forgotten()
    {
        await ExpireAsync(1);
        _time.Advance(TimeSpan.FromDays(400));
        await ExpireAsync(1, "b");
        using (var store = SentinelStore.Open(_bench.File))
            store.GrowOld(_time.GetUtcNow().AddDays(-30), leastHours: 0, (_, value) => value);
        await ExpireAsync(1, "c");

        Assert.Equal(["a0", "b0", "c0"], _phone.Got.Select(one => one.Facts["ids"]));
        Assert.Equal(3, _phone.Got.Select(one => one.Id).Distinct().Count());
    }

    [Fact]
    public void Two_receivers_of_one_name_are_refused() => Assert.Throws<ArgumentException>(
        () => new OutboxDispatcher(_bench.Outbox, [_phone, _phone], new AlertPolicyOptions(), _time, _bench.Said.Logger, new Random(1)));

    [Theory]
    [InlineData(24, 20, 20)]
    [InlineData(20, 24, 20)]
    public void A_message_is_of_use_until_the_receiver_or_itself_says_no(int hours, int receiversHours, int until)
    {
        var alert = Some.Alert("a") with { UsefulUntil = Some.Morning.AddHours(hours) };
        var row = OutboxDispatcher.Row(alert, new ReceiverSettings { Id = "phone", UsefulFor = TimeSpan.FromHours(receiversHours) });
        Assert.Equal(
            ("a", "phone", alert.Episode, Some.Morning, Some.Morning.AddHours(until), OutboxState.Waiting),
            (row.Id, row.Receiver, row.Episode, At(row.CreatedMs), At(row.UsefulUntilMs), row.State));
        Assert.Equal(AlertJson.Write(alert), Encoding.UTF8.GetBytes(row.Message));

        static DateTimeOffset At(long ms) => DateTimeOffset.FromUnixTimeMilliseconds(ms);
    }

    // A gateway that sends its readings hours late, and a message worth an hour: it is worth it from now on.
    [Theory]
    [InlineData(0, 1)]
    [InlineData(9, 10)]
    [InlineData(24, 25)]
    [InlineData(24.1, 1)]
    public void What_late_readings_bring_is_of_use_from_when_they_came(double hoursLate, double until)
    {
        var alert = Some.Alert("a") with { UsefulUntil = Some.Morning.AddDays(3) };
        var row = OutboxDispatcher.Row(
            alert, new ReceiverSettings { Id = "phone", UsefulFor = TimeSpan.FromHours(1) }, Some.Morning.AddHours(hoursLate));
        Assert.Equal(Some.Morning.AddHours(until), DateTimeOffset.FromUnixTimeMilliseconds(row.UsefulUntilMs));
    }

    [Theory]
    [InlineData(null, false, 8)]
    [InlineData(Level.Severe, false, 8)]
    [InlineData(Level.Severe, true, 0)]
    [InlineData(Level.Likely, true, 8)]
    public async Task In_quiet_hours_nothing_goes_out_that_was_to_come_before_them(Level? level, bool severePasses, int hours)
    {
        // It is quiet from an hour before now on, and for eight more hours.
        var policy = new AlertPolicyOptions
        {
            Quiet = new QuietHours(TimeOnly.FromDateTime(Some.Morning.UtcDateTime.AddHours(-1)), TimeOnly.FromDateTime(
                Some.Morning.UtcDateTime.AddHours(8))),
            SeverePassesQuiet = severePasses,
        };
        var dispatcher = new OutboxDispatcher(_bench.Outbox, [_phone], policy, _time, _bench.Said.Logger, new Random(1));
        _bench.Post(Some.Alert("a", at: Some.Morning.AddHours(-4)) with { Level = level, UsefulUntil = Some.Morning.AddDays(1) });
        for (var hour = 0; hour <= 9; hour++)
        {
            await dispatcher.SettleAsync(Ct);
            _time.Advance(TimeSpan.FromHours(1));
        }

        Assert.Equal(Some.Morning.AddHours(hours), Assert.Single(_phone.Attempts).At);
    }

    [Fact]
    public async Task Trouble_is_said_when_it_begins_and_when_it_is_over()
    {
        _phone.Answer = (_, _) => ScriptedReceiver.Down;
        _bench.Post("a");
        await _bench.Pass(TimeSpan.FromMinutes(5), TimeSpan.FromSeconds(5), Ct);
        Assert.Equal("It is down.", Assert.Single(_bench.Dispatcher.Health.Problems).Value);
        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        _bench.Post("b");
        await _bench.Pass(TimeSpan.FromMinutes(10), TimeSpan.FromMinutes(1), Ct);
        _phone.Answer = (_, _) => new DeliveryResult.Rejected("It is refused.");
        _bench.Post("c");
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Equal("It is refused.", Assert.Single(_bench.Dispatcher.Health.Problems).Value);
        Assert.Equal(
            ["It is down.", "The destination phone works again.", "The alert c was not sent: It is refused."],
            _bench.Said.Lines);
        var row = _bench.Outbox.Rows().Single(one => one.Id == "c");
        Assert.Equal((OutboxState.Rejected, 1, _time.GetUtcNow().ToUnixTimeMilliseconds()), (row.State, row.Attempts, row.NextMs));
    }

    [Fact]
    public async Task A_message_that_cannot_be_read_is_rejected()
    {
        _bench.Post("a");
        SampleStore.Tamper(_bench.File, "update outbox set message = '{'");
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Empty(_phone.Attempts);
        var row = Assert.Single(_bench.Outbox.Rows());
        Assert.Equal((OutboxState.Rejected, "The message a in the outbox cannot be read."), (row.State, row.LastAnswer));
    }

    [Theory]
    [InlineData(5, true)]
    [InlineData(4.99, false)]
    [InlineData(24 * 60, true)]
    [InlineData((24 * 60) + 0.01, false)]
    public void A_heart_beats_each_five_minutes_at_most_and_once_a_day_at_least(double minutes, bool isTaken)
    {
        using var http = new HttpMessageInvoker(new SocketsHttpHandler());
        var made = Record.Exception(() => new Heartbeat(
            new Uri("https://x.example/"), TimeSpan.FromMinutes(minutes), http, () => true, _time, _bench.Said.Logger));
        Assert.Equal(isTaken, made is null);
        Assert.Throws<ArgumentException>(() => new Heartbeat(
            new Uri("ftp://x.example/"), TimeSpan.FromMinutes(5), http, () => true, _time, _bench.Said.Logger));
    }

    /// <summary>Messages a minute apart that are past their use when the receiver takes something again.</summary>
    private async Task ExpireAsync(int count, string name = "a")
    {
        _phone.Answer = (_, _) => ScriptedReceiver.Down;
        for (var i = 0; i < count; i++)
        {
            _bench.Post($"{name}{i}");
            _time.Advance(TimeSpan.FromMinutes(1));
        }

        _time.Advance(TimeSpan.FromHours(25));
        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        for (var i = 0; i < 3; i++)
        {
            await _bench.Dispatcher.SettleAsync(Ct);
            _time.Advance(TimeSpan.FromMinutes(1));
        }
    }
}
