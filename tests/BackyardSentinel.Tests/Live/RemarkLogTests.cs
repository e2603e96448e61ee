using BackyardSentinel.Sensors;

namespace BackyardSentinel.Live;

public sealed class RemarkLogTests : IDisposable
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2027, 3, 1, 6, 0, 0, TimeSpan.Zero));
    private readonly LogLines _lines = new();

    public void Dispose() => _lines.Dispose();

    [Fact]
    public void What_repeats_itself_is_said_once_an_hour_for_each_series_and_kind()
    {
        var log = new RemarkLog(_time, _lines.Logger);
        List<PayloadRemark> remarks =
        [
            new(RemarkKind.Refused, "yard/t", $"the value is no number"),
            new(RemarkKind.Refused, "yard/t", $"the value is no number"),
            new(RemarkKind.Note, "yard/t", $"the time is read as UTC"),
            new(RemarkKind.Refused, "yard/h", $"the value is no number"),
            new(RemarkKind.NoReading, "yard/t", $"only a detail"),
        ];
        string[] said =
        [
            "garden/t: the value is no number. The message is kept aside; the command 'refused' lists it.",
            "garden/t: the time is read as UTC.",
            "garden/t: the value is no number. The message is kept aside; the command 'refused' lists it.",
        ];

        log.Say("garden/t", remarks);
        Assert.Equal(said, _lines.Lines);
        _time.Advance(TimeSpan.FromMinutes(59));
        log.Say("garden/t", remarks);
        Assert.Equal(said, _lines.Lines);
        _time.Advance(TimeSpan.FromMinutes(1));
        log.Say("garden/t", remarks);
        Assert.Equal([.. said, .. said], _lines.Lines);
    }

    [Fact]
    public void A_question_ends_as_one() => Assert.Equal(("Is it °F?", "It is."), (RemarkLog.Ended("Is it °F?"), RemarkLog.Ended("It is")));

    [Fact]
    public void Late_readings_are_told_with_the_series_and_by_how_much()
    {
        var log = new RemarkLog(_time, _lines.Logger);
        for (var i = 0; i < 3; i++)
            log.KeepComing(("yard/t", TimeSpan.FromMinutes(75)), TimeSpan.FromMinutes(10));

        Assert.Equal(
            "Readings keep coming late, the last of yard/t by 75 minutes. They are judged at their own time, "
                + "but only every 10 minutes. Is the sensor's clock slow?",
            Assert.Single(_lines.Lines));
    }
}
