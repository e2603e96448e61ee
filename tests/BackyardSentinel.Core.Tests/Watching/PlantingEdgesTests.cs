using BackyardSentinel.Events;
using BackyardSentinel.Tests.Planning;

namespace BackyardSentinel.Tests.Watching;

/// <summary>What a planting's watch says once, and what it does not say.</summary>
public class PlantingEdgesTests
{
    private static readonly Site Wall = new()
    {
        Id = "south-wall",
        LatitudeDeg = 46.05,
        LongitudeDeg = 14.51,
        Products = [SprayGarden.Copper, SprayGarden.Oil],
        Plantings = [new Planting("white-peach") { Stage = 11 }],
    };

    // 25 and 50 mm: Kansas State extension, through the press.
    [Fact]
    public void Each_loss_of_cover_is_told_once_with_the_rain_behind_it()
    {
        var diary = new Diary().Dry(24);
        for (var hour = 0; hour < 60; hour++)
            diary.Rows(1, 10, 95, rainMm: 1);

        var told = Watch(Wall, diary, Spray(1, "2027-02-01", "copper"), Spray(2, "2027-02-01", "oil")).OfType<CoverChanged>().ToList();

        Assert.Equal(
            [(Cover.Recheck, "copper", 25.0), (Cover.Spent, "copper", 50.0)],
            told.Select(one => (one.Cover, one.Product, Math.Round(one.RainMm, 6))));
        Assert.Empty(Watch(Wall, diary, Spray(2, "2027-02-01", "oil")).OfType<CoverChanged>());

        // Each product has its own limits.
        var weak = Wall with { Products = [SprayGarden.Copper with { WashOff = new WashOff(10, 15) }] };
        Assert.Equal(
            [(Cover.Recheck, 10.0), (Cover.Spent, 15.0)],
            Watch(weak, diary, Spray(1, "2027-02-01", "copper"))
                .OfType<CoverChanged>()
                .Select(one => (one.Cover, Math.Round(one.RainMm, 6))));
    }

    // Rossi et al. 2006 (abstract): no disease at 19 °C and above.
    [Theory]
    [InlineData(18, false)]
    [InlineData(19, true)]
    public void A_look_after_a_warm_day_says_that_the_disease_may_not_develop(double tempC, bool mayNot)
    {
        var diary = new Diary().Wet(20, 10, 8).Dry(24 * 5, 10).Dry(24 * 2, tempC).Dry(24 * 15, 10);

        Assert.Equal([mayNot], Watch(Wall, diary).OfType<ScoutingFellDue>().Select(one => one.MayNotDevelop));
    }

    [Fact]
    public void A_look_for_one_window_speaks_for_no_later_one_that_cannot_show_yet()
    {
        var diary = new Diary().Wet(20, 10, 8).Dry(24 * 5, 10).Dry(24 * 2, 19).Dry(24 * 6, 10).Wet(20, 10, 8).Dry(24 * 30, 10);

        // The first can show from 10 February on and likely does from the 21st on, the second from the 24th on.
        var looks = Watch(Wall, diary).OfType<ScoutingFellDue>().ToList();
        Assert.Equal([("02-21", true), ("02-28", false)], looks.Take(2).Select(one => ($"{one.At:MM-dd}", one.MayNotDevelop)));
    }

    [Fact]
    public void Where_buds_are_seen_shut_nothing_is_looked_for_after_earlier_windows()
    {
        var site = Wall with { Plantings = [new Planting("white-peach") { Follows = StageNeeds.Default }] };
        var diary = new Diary(rowMinutes: 60).Wet(20, 10, 8).Dry(24 * 75, 14);

        var leaves = Stage(2, "2027-02-24", 11);

        Assert.NotEmpty(Watch(site, diary, leaves).OfType<ScoutingFellDue>());
        Assert.NotEmpty(Watch(site, diary, Stage(1, "2027-02-05", 1), leaves).OfType<ScoutingFellDue>());
        Assert.Empty(Watch(site, diary, Stage(1, "2027-02-05", 0), leaves).OfType<ScoutingFellDue>());
    }

    [Fact]
    public void A_level_becomes_unknown_from_the_last_evidence_on_and_says_so_once()
    {
        var changes = Watch(Wall, new Diary().Dry(12).Silence(20).Dry(4)).OfType<LevelChanged>().ToList();

        var unknown = Assert.Single(changes, change => change.To == Level.Unknown && change.From == Level.Clear);
        Assert.Equal(Some.At(12), unknown.Since);
        Assert.Equal(Some.At(12) + Wall.UnknownAfter, unknown.At, TimeSpan.FromMinutes(10));
        Assert.Equal(Level.Clear, changes[^1].To);
    }

    [Fact]
    public void Buds_seen_shut_are_asked_for_again_from_the_first_swell_to_green_tip()
    {
        var site = Wall with { Plantings = [new Planting("white-peach") { Follows = StageNeeds.Default }] };
        var diary = new Diary(rowMinutes: 60).Dry(24 * 130, 14);
        var asked = Watch(site, diary, Stage(1, "2027-02-01", 0)).OfType<BudLookFellDue>().ToList();

        Assert.True(asked[0].On > Date("2027-02-01"));
        Assert.All(asked, look => Assert.True(look.Code is 1 or 9));
        // From swell to green tip: a later look asks for the later stage, and each is asked for once.
        Assert.Equal(asked.Select(look => look.Code).Order(), asked.Select(look => look.Code));
        Assert.Equal(asked.Count, asked.Select(look => (look.Code, look.Expected)).Distinct().Count());
        Assert.Contains(asked, look => look is { Code: 9, Expected: true });
        Assert.All(asked, look => Assert.False(look.SeenSwelling));
    }

    [Fact]
    public void Buds_that_were_seen_to_swell_are_asked_for_as_such()
    {
        var site = Wall with { Plantings = [new Planting("white-peach") { Follows = StageNeeds.Default }] };
        var asked = Watch(site, new Diary(rowMinutes: 60).Dry(24 * 130, 14), Stage(1, "2027-02-05", 1)).OfType<BudLookFellDue>();

        // The first question came before they were seen.
        Assert.Equal([(1, false), (9, true)], asked.Select(look => (look.Code, look.SeenSwelling)));
    }

    [Fact]
    public void A_stage_that_is_fixed_leads_to_its_buds_petals_and_susceptibility()
    {
        (BudState Buds, bool Fallen, double Factor) Of(int? code)
        {
            var watch = new SiteWatch(Wall with { Plantings = [new Planting("white-peach") { Stage = code }] }, _ => { });
            var stage = watch.Plantings[0].Stage;
            return (stage.Buds, stage.PetalsFallen, stage.FactorOn(new DateOnly(2027, 2, 1)));
        }

        Assert.Equal((BudState.Shut, false, 0.0), Of(0));
        Assert.Equal((BudState.Open, false, 1.0), Of(1));
        Assert.Equal((BudState.Open, false, 1.0), Of(68));
        Assert.Equal((BudState.Open, true, 1.0), Of(69));
        Assert.Equal((BudState.Open, true, 0.5), Of(89));
        Assert.Equal((BudState.Open, false, 0.5), Of(90));
        // Where no stage is followed the tissue counts as open.
        Assert.Equal((BudState.Open, false, 1.0), Of(null));
    }

    [Fact]
    public void What_was_seen_last_season_is_not_seen_in_this()
    {
        var site = Wall with { Plantings = [new Planting("white-peach") { Follows = StageNeeds.Default }] };
        var watch = new SiteWatch(site, _ => { }, [Stage(1, "2027-03-20", 10), Stage(2, "2027-03-20", 59)]);
        watch.Accept(Some.Temperature(Some.Midnight, 5), Some.Midnight);
        watch.AdvanceTo(new DateTimeOffset(2027, 3, 25, 0, 0, 0, TimeSpan.Zero));

        var stage = watch.Plantings[0].Stage;
        Assert.True(stage.HasSeen(BudStage.GreenTip));
        Assert.Equal((59, StageSource.Logged), (stage.Code, stage.Source)); // What was seen last.
        watch.AdvanceTo(new DateTimeOffset(2027, 11, 25, 0, 0, 0, TimeSpan.Zero));
        Assert.False(stage.HasSeen(BudStage.LeafBudSwell));
    }

    // BBCH 51 and 57 of flower buds stand beside 01 and 09 of leaf buds.
    [Theory]
    [InlineData(50, false, false)]
    [InlineData(51, true, false)]
    [InlineData(56, true, false)]
    [InlineData(57, true, true)]
    public void Flower_buds_that_are_as_far_serve_for_leaf_buds(int code, bool swell, bool greenTip)
    {
        var site = Wall with { Plantings = [new Planting("white-peach") { Follows = StageNeeds.Default }] };
        var watch = new SiteWatch(site, _ => { }, [Stage(1, "2027-02-01", code)]);
        watch.Accept(Some.Temperature(Some.Midnight, 5), Some.Midnight);
        watch.AdvanceTo(Some.At(30));

        Assert.Equal(
            (swell, greenTip),
            (watch.Plantings[0].Stage.HasSeen(BudStage.LeafBudSwell), watch.Plantings[0].Stage.HasSeen(BudStage.GreenTip)));
    }

    [Fact]
    public void A_dose_without_a_temperature_is_none_and_without_a_gauge_wet_hours_alone_build()
    {
        var spell = new WetSpell(Some.Midnight, Some.At(5), 5, 0, null, null, null, false, false);
        Assert.Equal(0, new WetHoursRule("tree").Dose(spell with { WetHours = 30 }, 1));

        var rule = new WetHoursRule("white-peach");
        var interval = Some.Interval(30);
        rule.Observe(new RuleInput(interval, new Wetness(WetnessState.Wet, 1), spell with { NoRainGauge = true, MeanTempC = 10 }, null, 1));
        Assert.Equal(5 / 12.5, rule.FractionReached!.Value, 9);
        var warm = spell with { RainMm = 30, WetHours = 40, MeanTempC = 20 };
        rule.Observe(new RuleInput(interval, new Wetness(WetnessState.Wet, 1), warm, null, 1));
        Assert.Equal(1, rule.FractionReached);
    }

    // UC Davis tables: Desmayo Largueta and Murciana; the nectarine of Miranda, Santesteban and Royo 2013.
    [Fact]
    public void The_usual_chill_of_a_kind_is_the_published_one_and_says_whose()
    {
        Assert.Equal((28, 56), (PublishedChill.UsualOf(TreeKind.Almond), PublishedChill.UsualOf(TreeKind.Apricot)));
        Assert.Equal(StageNeeds.Default.ChillNeed, PublishedChill.UsualOf(TreeKind.Peach));
        Assert.Contains("Desmayo Largueta", PublishedChill.SourceOf(TreeKind.Almond).Text, StringComparison.Ordinal);
        Assert.Contains("Murciana", PublishedChill.SourceOf(TreeKind.Apricot).Text, StringComparison.Ordinal);
        Assert.Contains("Miranda", PublishedChill.SourceOf(TreeKind.Nectarine).Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(4, 12, true)]
    [InlineData(20, 30, false)]
    public void Needs_that_a_usual_winter_does_not_bring_are_doubted(double minC, double maxC, bool met)
    {
        var calendar = new SeasonCalendar(46.05);
        var climate = DailyClimate.FromMonths(Enumerable.Repeat(minC, 12).ToArray(), Enumerable.Repeat(maxC, 12).ToArray());
        var usual = new UsualHours(climate, TimeZoneInfo.Utc, 46.05, 14.51);

        var doubt = NeedsDoubt.Of(StageNeeds.Default, calendar, TimeZoneInfo.Utc, usual);
        Assert.Equal(met, doubt is null);
        Assert.True(met || doubt!.Text.StartsWith("a usual winter here does not bring the chill of the needs", StringComparison.Ordinal));
        Assert.Null(NeedsDoubt.Of(StageNeeds.Default, new SeasonCalendar(null), TimeZoneInfo.Utc, usual));
    }

    private static List<SentinelEvent> Watch(Site site, Diary diary, params JournalEntry[] journal)
    {
        List<SentinelEvent> events = [];
        var watch = new SiteWatch(site, events.Add, journal);
        foreach (var reading in diary.Readings)
            watch.Accept(reading, reading.Time);
        watch.AdvanceTo(diary.Now + site.LateAllowance);
        return events;
    }

    private static SprayEntry Spray(long number, string on, string product) =>
        new(number, "south-wall", "white-peach", Date(on), product, 5);

    private static StageEntry Stage(long number, string on, int code) => new(number, "south-wall", "white-peach", Date(on), code);

    private static DateOnly Date(string on) => DateOnly.ParseExact(on, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
}
