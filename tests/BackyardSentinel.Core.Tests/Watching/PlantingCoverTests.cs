namespace BackyardSentinel.Tests.Watching;

/// <summary>A cover counts as fresh only where the rain since the spray was measured.</summary>
public sealed class PlantingCoverTests
{
    private static readonly Site Garden = Some.Garden() with { Products = [Planning.SprayGarden.Copper] };

    [Fact]
    public void It_is_fresh_while_little_rain_was_measured()
    {
        Assert.Equal((Cover.Fresh, true), After(new Diary().Dry(96)));
        Assert.Equal((Cover.Recheck, true), After(new Diary().Dry(24).Wet(6, rainMm: 30).Dry(24)));
    }

    [Fact]
    public void It_is_one_to_look_at_where_readings_begin_more_than_a_day_after_the_spray()
    {
        Assert.Equal((Cover.Fresh, true), After(new Diary(Some.At(12 + 24)).Dry(24)));
        Assert.Equal((Cover.Recheck, false), After(new Diary(Some.At(12 + 25)).Dry(24)));
    }

    [Fact]
    public void It_is_one_to_look_at_once_nothing_came_for_a_day_in_sum()
    {
        Assert.Equal((Cover.Fresh, true), After(new Diary().Dry(24).Silence(20).Dry(24)));
        Assert.Equal((Cover.Recheck, false), After(new Diary().Dry(24).Silence(20).Dry(24).Silence(20).Dry(24)));
    }

    [Fact]
    public void A_gauge_that_speaks_only_when_it_tips_may_be_silent_but_one_that_spoke_regularly_may_not()
    {
        Assert.Equal((Cover.Fresh, true), After(new Diary().Rows(96, 10, 60, rainMm: null)));
        Assert.Equal((Cover.Recheck, false), After(new Diary().Dry(48).Rows(48, 10, 60, rainMm: null)));
    }

    [Fact]
    public void Without_a_gauge_it_is_one_to_look_at_after_a_day() =>
        Assert.Equal((Cover.Recheck, false), After(new Diary().Rows(96, 10, 60, rainMm: null), Garden with { HasRainGauge = false }));

    [Fact]
    public void Rain_that_was_measured_takes_it_off_all_the_same() =>
        Assert.Equal((Cover.Spent, false), After(new Diary().Dry(24).Silence(48).Wet(6, rainMm: 60).Dry(1)));

    [Fact]
    public void The_next_spray_begins_anew()
    {
        var diary = new Diary().Dry(24).Silence(72).Dry(24);

        Assert.Equal((Cover.Recheck, false), After(diary));
        Assert.Equal((Cover.Fresh, true), After(diary, null, Sprayed(2, new(2027, 2, 5))));
    }

    private static SprayEntry Sprayed(long number, DateOnly on) =>
        new(number, "garden", "tree", on, Planning.SprayGarden.Copper.Id, 5, null) { At = new TimeOnly(12, 0) };

    /// <summary>What is left of a spray of noon on the first day.</summary>
    private static (Cover Cover, bool IsMeasured) After(Diary diary, Site? site = null, params SprayEntry[] more)
    {
        var watch = Some.Fed(
            site ?? Garden, diary.Readings, diary.Now + Garden.LateAllowance, [Sprayed(1, new(2027, 2, 1)), .. more]);

        return (watch.Plantings[0].Cover.Cover, watch.Plantings[0].Cover.IsMeasured);
    }
}
