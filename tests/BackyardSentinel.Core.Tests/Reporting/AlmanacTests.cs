using BackyardSentinel.Events;
using BackyardSentinel.Reporting;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Tests.Reporting;

public sealed class AlmanacTests
{
    private static readonly DateTimeOffset Far = DateTimeOffset.MaxValue;

    [Fact]
    public void Before_the_first_interval_nothing_is_known()
    {
        var (keeper, feed) = Fed(Some.Garden(), []);

        Assert.Null(keeper.Slice(feed.Watches["garden"], Some.Midnight, Far));
    }

    [Fact]
    public void An_hour_has_its_extremes_its_mean_and_its_sums()
    {
        var hour = Of(new Diary().Rows(0.5, 4, 60, 1.2).Rows(0.5, 10, 96, 0.4).Rows(1, null, 80, null)).Hours[0];

        Assert.Equal(new AlmanacHour(Some.Midnight, 4, 7, 10, 78, (float)1.6, 4 / 6f, 1, 1), hour);
    }

    [Fact]
    public void What_did_not_come_is_missing_and_never_nought()
    {
        var slice = Of(new Diary().Dry(1).Rows(1, null, 60, null).Silence(4).Dry(1));

        Assert.Equal([1.0, 0, 0, 0, 0, 0, 1], slice.Hours.Select(hour => hour.TemperatureShare));
        Assert.Equal([1.0, 1, 0, 0, 0, 0, 1], slice.Hours.Select(hour => hour.WetnessShare));
        Assert.All(slice.Hours.Skip(2).Take(4), hour => Assert.True(hour is { MeanC: null, RainMm: null, HumidityPct: null, WetShare: 0 }));
        Assert.Equal(
            [
                new Stretch<Missing>(Some.At(1), Some.At(2), Missing.Temperature),
                new Stretch<Missing>(Some.At(2), Some.At(6), Missing.Temperature | Missing.Wetness),
            ],
            slice.Missing);
    }

    [Fact]
    public void A_level_is_unknown_from_the_last_evidence_on_and_says_what_is_missing()
    {
        var slice = Of(new Diary().Wet(14, rainMm: 5).Silence(5).Dry(6));

        Assert.Equal(
            [(0, Level.Building), (12.5, Level.Possible), (14, Level.Unknown), (19 + (1 / 6.0), Level.Clear)],
            slice.Plantings[0].Levels.Select(held => (Math.Round((held.From - Some.Midnight).TotalHours, 9), held.Value.Level))
                .Select(held => (held.Item1 < 0.2 ? 0 : held.Item1 > 19 ? 19 + (1 / 6.0) : held.Item1, held.Level)));
        Assert.Equal(
            Missing.Temperature | Missing.Wetness,
            Assert.Single(slice.Plantings[0].Levels, held => held.Value.Level == Level.Unknown).Value.Missing);
    }

    [Fact]
    public void Spans_are_cut_at_the_ends_of_the_time_asked_for_and_what_is_told_in_full_stays_so()
    {
        var diary = new Diary().Dry(2).Wet(20, rainMm: 8).Dry(6);
        var slice = Of(diary, Some.At(4), Some.At(10));
        var whole = Of(diary);

        Assert.Equal((Some.At(4), Some.At(10)), (slice.From, slice.To));
        Assert.Equal(6, slice.Hours.Count);
        Assert.Equal(new Stretch<WetnessState>(Some.At(4), Some.At(10), WetnessState.Wet), Assert.Single(slice.Wetness));
        Assert.Equal(
            new Stretch<LevelHeld>(Some.At(4), Some.At(10), new(Level.Building, Missing.None)), Assert.Single(slice.Plantings[0].Levels));
        Assert.Equal(20, Assert.Single(slice.Spells).WetHours);
        Assert.Empty(slice.Plantings[0].Windows);
        Assert.Equal(
            Some.At(14.5),
            Assert.Single(whole.Plantings[0].Windows, window => window.Rule == RuleName.WetHours.Word()).OpenedAt);
        Assert.Equal(Some.At(28), whole.To);
    }

    [Fact]
    public void A_window_that_opens_with_the_last_interval_is_there_and_else_belongs_to_what_follows()
    {
        var diary = new Diary().Dry(2).Wet(12.5, rainMm: 8);
        var now = Of(diary);
        Assert.Equal(Some.At(14.5), now.To);
        Assert.Equal(Some.At(14.5), Assert.Single(now.Plantings[0].Windows, window => window.Rule == RuleName.WetHours.Word()).OpenedAt);

        diary.Wet(2, rainMm: 1);
        Assert.Empty(Of(diary, Some.At(2), Some.At(14.5)).Plantings[0].Windows);
        Assert.Single(Of(diary, Some.At(14.5), Some.At(16)).Plantings[0].Windows, window => window.Rule == RuleName.WetHours.Word());
    }

    [Fact]
    public void What_runs_still_is_there_with_its_figures_as_they_stand()
    {
        var slice = Of(new Diary().Dry(2).Wet(20, rainMm: 8));

        Assert.True(slice.RunningSpell);
        Assert.Equal(20, slice.Spells[^1].WetHours);
        var window = Assert.Single(slice.Plantings[0].Windows, window => window.Rule == RuleName.WetHours.Word());
        Assert.Null(window.ClosedAt);
        Assert.Equal(20, window.WetHours);
    }

    [Fact]
    public void A_day_has_its_wet_hours_in_the_zone_of_the_site()
    {
        var site = Some.Garden() with { Zone = TimeZoneInfo.FindSystemTimeZoneById("Asia/Kolkata") };
        var slice = Of(new Diary().Dry(18.5).Wet(3, rainMm: 4).Dry(26), site: site);

        Assert.Equal([(1, 0.0), (2, 3.0)], slice.Days.Select(day => (day.Day.Day, day.WetHours)));
        Assert.Equal(4, slice.Days[1].Weather.RainMm, 1e-9);
        Assert.All(slice.Days, day => Assert.Equal(1, day.WetnessShare));
    }

    [Fact]
    public void A_slice_is_a_copy_that_the_going_on_does_not_touch()
    {
        var diary = new Diary().Dry(2).Wet(6, rainMm: 4);
        var (keeper, feed) = Fed(Some.Garden(), diary.Readings);
        var watch = feed.Watches["garden"];
        feed.AdvanceTo(diary.Now);
        var slice = keeper.Slice(watch, Some.Midnight, Far)!;
        var before = AlmanacText.Of(slice);
        foreach (var reading in new Diary(diary.Now).Wet(20, rainMm: 9).Readings)
            feed.Judge(watch, reading, reading.Time);

        Assert.Equal(before, AlmanacText.Of(slice));
        Assert.NotEqual(before, AlmanacText.Of(keeper.Slice(watch, Some.Midnight, Far)!));
    }

    [Fact]
    public void Sprays_show_as_cover_from_their_end_until_rain_has_taken_it()
    {
        var site = Some.Garden() with
        {
            Products = [SprayTemplates.All.Single(product => product.Id == "fixed-copper") with { Id = "copper" }],
        };
        List<JournalEntry> journal = [new SprayEntry(1, "garden", "tree", new DateOnly(2027, 2, 1), "copper", 4, At: new TimeOnly(9, 0))];
        var slice = Of(new Diary().Dry(12).Wet(10, rainMm: 30).Dry(8).Wet(10, rainMm: 40).Dry(6), site: site, journal: journal);

        Assert.Equal(
            [Cover.None, Cover.Fresh, Cover.Recheck, Cover.Spent],
            slice.Plantings[0].Cover.Select(held => held.Value!.Value));
        Assert.Equal([Some.At(0), Some.At(9), Some.At(12), Some.At(30)], slice.Plantings[0].Cover.Select(held => held.From));
    }

    [Fact]
    public void A_doubted_series_is_kept_with_its_time()
    {
        var doubt = new SeriesDoubt(Quantity.Humidity, 0, SeriesFault.NeverDry, Some.At(0), 100, 100);
        var almanac = new Almanac(Some.Garden());
        almanac.Note(Some.Interval(0), new Wetness(WetnessState.Dry, 0), Missing.None, [default]);
        almanac.Note(new ReadingsDoubted("garden", Some.At(2), doubt));
        almanac.Note(new ReadingsTrusted("garden", Some.At(5), doubt));
        almanac.Note(Some.Interval(60), new Wetness(WetnessState.Dry, 0), Missing.None, [default]);

        Assert.Equal(
            new DoubtHeld(doubt, Some.At(2), Some.At(5)),
            Assert.Single(almanac.Slice(Some.Midnight, Far, null, []).Doubts));
    }

    [Fact]
    public void What_was_seen_of_a_tree_before_the_first_reading_is_there()
    {
        var seen = DateOnly.FromDateTime(Some.Midnight.DateTime).AddDays(-20);
        var slice = Of(
            new Diary().Dry(6),
            from: Some.Midnight.AddDays(-40),
            site: Some.Garden() with { Plantings = [new Planting("tree") { Follows = StageNeeds.Default }] },
            journal: [new StageEntry(0, "garden", "tree", seen, 1)]);

        Assert.Equal(Some.Midnight, slice.From);
        Assert.Equal(seen, Assert.Single(slice.Plantings[0].Stages, stage => stage.Logged).On);
    }

    private static AlmanacSlice Of(
        Diary diary,
        DateTimeOffset? from = null,
        DateTimeOffset? to = null,
        Site? site = null,
        IReadOnlyList<JournalEntry>? journal = null)
    {
        site ??= Some.Garden();
        var (keeper, feed) = Fed(site, diary.Readings, journal);
        feed.AdvanceTo(diary.Now + site.LateAllowance);
        return keeper.Slice(feed.Watches[site.Id], from ?? Some.Midnight, to ?? Far)!;
    }

    private static (AlmanacKeeper Keeper, SeasonFeed Feed) Fed(
        Site site, IEnumerable<Reading> readings, IReadOnlyList<JournalEntry>? journal = null)
    {
        var keeper = new AlmanacKeeper([site]);
        var feed = new SeasonFeed([site], keeper.Note, journal, onInterval: keeper.Note);
        foreach (var reading in readings)
            feed.Judge(feed.Watches[site.Id], reading, reading.Time);
        return (keeper, feed);
    }
}
