namespace BackyardSentinel.Live;

// After a start what waits at the broker is taken first: until nothing old has come for a second, at most two minutes. An
// outage is one of more than 15 minutes. All of it assumed.
public sealed class ListeningTests
{
    private static readonly DateTimeOffset Start = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private readonly FakeTimeProvider _time = new(Start);
    private bool _isUp = true;

    private DateTimeOffset Now => _time.GetUtcNow();

    [Fact]
    public void Without_a_broker_all_may_be_judged_at_once()
    {
        var listening = new Listening(_time, null, null);

        Assert.Null(listening.Look(Now));
        Assert.Equal((true, false, false), (listening.MayJudge, listening.IsCatchingUp, listening.IsOutage));
    }

    [Fact]
    public void With_a_broker_a_second_of_quiet_is_waited_for()
    {
        var listening = new Listening(_time, () => _isUp, null);

        Assert.Equal((false, true), Looked(listening));
        Assert.Equal((false, true), After(listening, 0.999));
        Assert.Equal((true, false), After(listening, 0.001));
    }

    [Theory]
    [InlineData(60, true)] // As old as a minute is not old.
    [InlineData(61, false)]
    public void What_has_waited_somewhere_begins_the_second_anew(int secondsOld, bool mayJudge)
    {
        var listening = new Listening(_time, () => _isUp, null);
        Looked(listening);
        After(listening, 0.9);
        listening.Heard(Now.AddSeconds(-secondsOld), Now);

        Assert.Equal((mayJudge, !mayJudge), After(listening, 0.1));
        Assert.Equal((true, false), After(listening, 0.9));
    }

    [Fact]
    public void Two_minutes_are_the_longest_wait_however_much_comes()
    {
        var listening = new Listening(_time, () => _isUp, null);
        Looked(listening);
        for (var i = 0; i < 239; i++)
        {
            Assert.Equal((false, true), After(listening, 0.5));
            listening.Heard(Now.AddHours(-1), Now);
        }

        Assert.Equal((true, false), After(listening, 0.5));
    }

    [Fact]
    public void A_link_that_stays_down_is_judged_without_after_two_minutes_and_is_caught_up_with_when_it_is_back()
    {
        var listening = new Listening(_time, () => _isUp, null);
        Looked(listening);
        After(listening, 1);
        _isUp = false;
        Assert.Equal((false, true), Looked(listening));
        Assert.Equal((false, true), After(listening, 119.9));
        Assert.Equal((true, true), After(listening, 0.1));
        _isUp = true;
        Assert.Equal((false, true), Looked(listening));
        Assert.Equal((true, false), After(listening, 1));
    }

    [Fact]
    public void More_than_a_quarter_of_an_hour_without_the_link_is_an_outage_told_once()
    {
        var listening = new Listening(_time, () => _isUp, null);
        Looked(listening);
        After(listening, 1);
        _isUp = false;
        var lost = Now;
        Assert.Null(listening.Look(Now));
        _time.Advance(TimeSpan.FromMinutes(15));
        Assert.Null(listening.Look(Now));
        _time.Advance(TimeSpan.FromSeconds(1));

        Assert.Equal(lost, listening.Look(Now));
        Assert.True(listening.IsOutage);
        Assert.Null(listening.Look(Now));
        Assert.Equal(lost, listening.Until(Now));
        // What waited at the broker is taken before the outage is over, however long it was.
        _isUp = true;
        Assert.Equal((false, true), Looked(listening));
        Assert.True(listening.IsOutage);
        Assert.Equal((true, false), After(listening, 1));
        Assert.False(listening.IsOutage);
        Assert.Equal(Now, listening.Until(Now));
    }

    [Fact]
    public void What_was_heard_for_a_moment_between_two_gaps_is_behind_the_one_and_before_the_other()
    {
        var listening = new Listening(_time, () => _isUp, Start.AddMinutes(-40));
        Assert.Equal(Start.AddMinutes(-40), listening.Look(Now));
        listening.Heard(Now, Now);
        _isUp = false;
        Assert.Null(listening.Look(Now));
        var again = Now;
        _time.Advance(TimeSpan.FromMinutes(16));
        Assert.Equal(again, listening.Look(Now));
        Assert.Null(listening.Look(Now));

        // Where nothing was, it is one.
        _isUp = true;
        Assert.Null(listening.Look(Now));
        _isUp = false;
        Assert.Null(listening.Look(Now));
        _time.Advance(TimeSpan.FromMinutes(16));
        Assert.Null(listening.Look(Now));
    }

    [Fact]
    public void The_time_the_service_was_off_is_an_outage_too()
    {
        var before = Start.AddMinutes(-16);

        Assert.Equal(before, new Listening(_time, () => _isUp, before).Look(Now));
        Assert.Null(new Listening(_time, () => _isUp, Start.AddMinutes(-15)).Look(Now));
    }

    [Fact]
    public void An_outage_begins_behind_the_last_that_was_said_also_by_a_sensor_whose_clock_is_ahead()
    {
        var before = Start.AddMinutes(-16).AddTicks(TimeSpan.TicksPerMillisecond + 7);

        // As it is stored.
        Assert.Equal(before.AddTicks(-7), new Listening(_time, () => _isUp, before).Look(Now));
        var ahead = before.AddTicks(-7).AddSeconds(3);
        Assert.Equal(ahead, new Listening(_time, () => _isUp, before, ahead).Look(Now));
        // A time that cannot be is none.
        Assert.Equal(before.AddTicks(-7), new Listening(_time, () => _isUp, before, before.AddMinutes(11)).Look(Now));

        var listening = new Listening(_time, () => _isUp, null);
        Looked(listening);
        After(listening, 1);
        listening.Heard(Now.AddSeconds(4), Now);
        var last = Now.AddSeconds(4);
        _isUp = false;
        listening.Look(Now);
        _time.Advance(TimeSpan.FromMinutes(16));
        Assert.Equal(last, listening.Look(Now));
    }

    [Fact]
    public void So_it_does_where_that_was_heard_while_a_start_caught_up()
    {
        var listening = new Listening(_time, () => _isUp, Start.AddMinutes(-40), Start.AddMinutes(-40));
        Assert.Equal(Start.AddMinutes(-40), listening.Look(Now));
        var last = Now.AddMilliseconds(3);
        listening.Heard(last, Now);
        _isUp = false;
        listening.Look(Now);
        _time.Advance(TimeSpan.FromMinutes(16));

        Assert.Equal(last, listening.Look(Now));
    }

    [Fact]
    public void Each_ten_minutes_it_is_noted_that_the_service_listens_unless_what_was_stored_tells_as_much()
    {
        var listening = new Listening(_time, () => _isUp, null);
        Looked(listening);
        After(listening, 1);

        Assert.Equal(Now, listening.Note(Now, default));
        Assert.Null(listening.Note(Now.AddMinutes(9.9), default));
        Assert.Equal(Now.AddMinutes(10), listening.Note(Now.AddMinutes(10), default));
        Assert.Null(listening.Note(Now.AddMinutes(25), Now.AddMinutes(16)));
        Assert.Equal(Now.AddMinutes(26), listening.Note(Now.AddMinutes(26), Now.AddMinutes(16)));
        // Without the link there is nothing to note.
        _isUp = false;
        listening.Look(Now);
        Assert.Null(listening.Note(Now.AddMinutes(99), default));
    }

    private (bool MayJudge, bool IsCatchingUp) After(Listening listening, double seconds)
    {
        _time.Advance(TimeSpan.FromSeconds(seconds));
        return Looked(listening);
    }

    private (bool MayJudge, bool IsCatchingUp) Looked(Listening listening)
    {
        listening.Look(Now);
        return (listening.MayJudge, listening.IsCatchingUp);
    }
}
