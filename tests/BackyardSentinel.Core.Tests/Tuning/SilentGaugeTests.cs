using BackyardSentinel.Tuning;

namespace BackyardSentinel.Tests.Tuning;

/// <summary>Nothing is learnt from a look after weeks in which a gauge that used to speak did not.</summary>
public sealed class SilentGaugeTests
{
    [Theory]
    [InlineData(0, 3, 1)]
    [InlineData(0, 0, 1)]
    [InlineData(9, 0, 0)]
    public void A_look_at_a_tree_on_which_nothing_was_open_is_left_out_whatever_it_found(int stage, int curled, int leftOut)
    {
        var diary = new Diary(rowMinutes: 60).Rows(48, 10, 60).Rows(40 * 24, 10, 60, 0);
        var recorder = new LogRecorder();
        var feed = new SeasonFeed([Some.Garden() with { Plantings = [new Planting("tree", Stage: stage)] }], onInterval: recorder.Note);
        foreach (var reading in diary.Readings)
            feed.Judge(feed.Watches["garden"], reading, reading.Time);
        feed.Finish();
        var look = new ScoutEntry(1, "garden", "tree", LocalDay.Of(diary.Now, TimeZoneInfo.Utc).AddDays(-1), 20, curled);

        var scouted = new ScoutedSeasons(recorder.Recording!, [look], day => day.Year);
        Assert.Equal((0, leftOut, 1 - leftOut), (scouted.NotMeasured, scouted.NothingOpen, scouted.Seasons.Count));
    }

    [Theory]
    [InlineData(0.0, 0)]
    [InlineData(null, 1)]
    public void A_look_after_a_gauge_fell_silent_is_left_out(double? rainMm, int leftOut)
    {
        var diary = new Diary(rowMinutes: 60).Rows(48, 10, 60).Rows(40 * 24, 10, 60, rainMm);
        var recorder = new LogRecorder();
        var feed = new SeasonFeed([Some.Garden()], onInterval: recorder.Note);
        foreach (var reading in diary.Readings)
            feed.Judge(feed.Watches["garden"], reading, reading.Time);
        feed.Finish();
        var look = new ScoutEntry(1, "garden", "tree", LocalDay.Of(diary.Now, TimeZoneInfo.Utc).AddDays(-1), 20, 3);

        Assert.Equal(leftOut, new ScoutedSeasons(recorder.Recording!, [look], day => day.Year).NotMeasured);
    }
}
