using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Tests.Watching;

/// <summary>Stage, season, cover and the weeks after a window, wired together in the watch over an invented garden.</summary>
public class PlantingWatchTests
{
    private static readonly SprayProduct Copper = new()
    {
        Id = "copper",
        Name = "Copper",
        Active = ActiveIngredient.CopperHydroxide,
        CopperPct = 50,
        DosePerL = 4,
    };

    private static readonly Site Wall = new()
    {
        Id = "south-wall",
        LatitudeDeg = 46.05,
        LongitudeDeg = 14.51,
        Products = [Copper],
        Plantings = [new Planting("white-peach") { Follows = StageNeeds.Default }],
    };

    private static readonly SeasonCalendar Calendar = new(46.05);

    [Fact]
    public void Windows_open_only_on_tissue_that_is_open()
    {
        var seen = Watched(TwoWetSpells(), Stage(1, "2027-02-01", 0), Stage(2, "2027-02-05", 9));

        var window = Assert.Single(Opened(seen));
        Assert.Equal(9, window.Stage);
        Assert.True(window.OpenedAt >= Day("2027-02-06"), $"opened {window.OpenedAt}");
        Assert.Equal(
            Level.Clear,
            seen.Events.OfType<LevelChanged>()
                .Where(change => change.At < Day("2027-02-05"))
                .Select(change => change.To)
                .DefaultIfEmpty(Level.Clear)
                .Last());
    }

    [Fact]
    public void A_stage_counts_from_its_local_day_on_and_not_a_day_earlier()
    {
        var diary = new Diary().Dry(24).Wet(20, 10, 8).Dry(28).Wet(20, 10, 8).Dry(12);
        Assert.Single(Opened(Watched(diary, Stage(1, "2027-02-01", 0), Stage(2, "2027-02-04", 1))));
        Assert.Equal(2, Opened(Watched(diary, Stage(1, "2027-02-01", 0), Stage(2, "2027-02-02", 1))).Count);
    }

    [Fact]
    public void Buds_that_may_be_open_are_judged_as_open_and_said_not_to_be_sure()
    {
        var seen = Watched(new Diary().Dry(24 * 10, 12).Wet(20, 10, 8).Dry(6));

        Assert.Single(Opened(seen));
        Assert.Equal(BudState.MayBeOpen, Assert.Single(seen.Events.OfType<BudsChanged>()).To);
        Assert.False(seen.Watch.Risks[0].StageSure);
    }

    [Fact]
    public void Before_the_first_evidence_an_open_planting_is_unknown_and_a_shut_one_clear()
    {
        foreach (var (code, level) in new[] { (9, Level.Unknown), (0, Level.Clear) })
        {
            List<SentinelEvent> events = [];
            var watch = new SiteWatch(Wall with { Plantings = [new Planting("white-peach") { Stage = code }] }, events.Add);
            Assert.Equal(Level.Unknown, watch.Risks[0].Level);
            watch.Accept(new Reading(Quantity.WindSpeed, Day("2027-02-01"), 1), Day("2027-02-01"));
            watch.AdvanceTo(Day("2027-02-01").AddHours(1));

            Assert.Equal(level, watch.Risks[0].Level);
        }
    }

    [Fact]
    public void A_watch_rebuilt_with_a_journal_written_late_says_what_an_early_journal_would_have_said()
    {
        JournalEntry[] early =
        [
            Stage(1, "2027-02-01", 0),
            Spray(2, "2027-02-03"),
            Stage(3, "2027-02-05", 9),
            Scout(4, "2027-02-20", 3, SymptomStage.Curled),
        ];
        // The same facts, written down in another order when all was over.
        JournalEntry[] late =
        [
            early[3] with
            {
                Number = 11,
            },
            early[1] with
            {
                Number = 12,
            },
            early[0] with
            {
                Number = 13,
            },
            early[2] with
            {
                Number = 14,
            },
        ];

        Assert.Equal(Watched(TwoWetSpells(), early).Events, Watched(TwoWetSpells(), late).Events);
    }

    [Fact]
    public void The_season_closes_after_a_week_of_warm_days_and_no_window_opens_after_it()
    {
        var diary = new Diary().Dry(24).Dry(24).Dry(24);
        for (var day = 0; day < 9; day++)
            diary.Dry(24, tempC: 24);
        diary.Wet(30, 10, 20).Dry(12);
        var seen = Watched(diary, Stage(1, "2027-02-01", 9), Stage(2, "2027-02-03", 69));

        var closed = Assert.Single(seen.Events.OfType<InfectionSeasonClosed>());
        Assert.Equal((new DateOnly(2027, 2, 11), true), (closed.On, closed.WarmDays));
        Assert.Empty(Opened(seen));
    }

    // Giosuè et al. 2000, Eur. J. Plant Pathol. 106:563–571 (abstract): curl from day 9 on, likely on days 20 to 27. A look
    // waits for the last day that suits.
    [Fact]
    public void A_look_for_curl_falls_due_on_day_20_and_again_on_day_27_after_a_window_and_an_entry_serves_as_one()
    {
        Assert.Equal([(20, false), (27, true)], Looks(new Diary().Dry(24).Wet(20, 10, 8), Stage(1, "2027-02-01", 11)));
        Assert.Equal([(27, true)], Looks(new Diary().Dry(24).Wet(20, 10, 8), Stage(1, "2027-02-01", 11), Scout(2, "2027-02-16", 0, null)));
    }

    [Fact]
    public void One_look_serves_every_window_it_suits() =>
        Assert.Equal(
            [(20, false), (27, true), (36, true)],
            Looks(new Diary().Dry(24).Wet(20, 10, 8).Dry(24 * 8).Wet(20, 10, 8), Stage(1, "2027-02-01", 11)));

    [Fact]
    public void Without_leaves_there_is_nothing_to_look_at()
    {
        Assert.Empty(Looks(new Diary().Dry(24).Wet(20, 10, 8), Stage(1, "2027-02-01", 9)));
        // Leaves unfold on 20 February: the first look is due 7 to 18 days later, the second until 25 days later.
        Assert.Equal(
            [(36, false), (43, true)],
            Looks(new Diary().Dry(24).Wet(20, 10, 8), Stage(1, "2027-02-01", 9), Stage(2, "2027-02-20", 11)));
    }

    [Fact]
    public void Nothing_is_looked_for_after_a_window_on_buds_that_were_seen_shut_later() =>
        Assert.Empty(Looks(new Diary().Dry(24).Wet(20, 10, 8), Stage(1, "2027-02-05", 0)));

    /// <summary>The looks for curl over seven weeks: days since the first window, and whether it was in the likely days.</summary>
    private static List<(int Day, bool Likely)> Looks(Diary diary, params JournalEntry[] journal)
    {
        for (var day = 0; day < 49; day++)
            diary.Dry(24, 4);
        var seen = Watched(diary, journal);
        var day0 = DateOnly.FromDateTime(Opened(seen)[0].OpenedAt.UtcDateTime);
        return
        [
            .. seen
                .Events.OfType<ScoutingFellDue>()
                .Select(one => (DateOnly.FromDateTime(one.At.UtcDateTime).DayNumber - day0.DayNumber, one.Likely)),
        ];
    }

    [Fact]
    public void Before_there_are_leaves_a_level_is_told_with_the_earliest_day_for_a_look()
    {
        LevelRisen Risen(params JournalEntry[] journal)
        {
            var seen = Watched(new Diary().Dry(24).Wet(20, 10, 8).Dry(24 * 10, 4), journal);
            var rise = seen.Events.OfType<LevelChanged>().Last(change => change.To == Level.Possible);
            return Assert.IsType<LevelRisen>(OccasionOf.Fact(rise, Wall, seen.Watch.Plantings));
        }

        // It is 12 February: leaves that came tomorrow would be a week old on the 20th.
        var bare = Risen(Stage(1, "2027-02-01", 9));
        Assert.Equal((true, Date("2027-02-20")), (bare.AwaitsLeaves, bare.LookFrom));
        var late = Risen(Stage(1, "2027-02-01", 9), Stage(2, "2027-02-08", 11));
        Assert.Equal((false, Date("2027-02-15")), (late.AwaitsLeaves, late.LookFrom));
        var early = Risen(Stage(1, "2027-02-01", 11));
        Assert.Equal((false, Date("2027-02-11")), (early.AwaitsLeaves, early.LookFrom));
    }

    [Fact]
    public void A_look_at_the_buds_is_asked_for_when_they_may_be_open_and_not_again_within_a_week_nor_where_they_were_seen()
    {
        BudLookFellDue[] Asked(params JournalEntry[] journal) =>
            [.. Watched(new Diary().Dry(24 * 40, 12), journal).Events.OfType<BudLookFellDue>()];

        var alone = Asked();
        Assert.Equal(new DateOnly(2027, 2, 1), alone[0].On);
        Assert.True(alone[0].ATableWouldHelp);
        Assert.All(alone.Zip(alone.Skip(1)), pair => Assert.True(pair.Second.On >= pair.First.On.AddDays(7)));
        Assert.Empty(Asked(Stage(1, "2027-02-01", 9)));
        // Seen shut: the question comes again, but not within the week.
        Assert.Equal(new DateOnly(2027, 2, 8), Asked(Stage(1, "2027-02-01", 0))[0].On);
    }

    [Fact]
    public void Picking_falls_due_when_curl_was_found_until_the_white_bloom_or_until_it_was_done()
    {
        PickingFellDue[] Due(params JournalEntry[] journal) =>
            [.. Watched(new Diary().Dry(24 * 6), journal).Events.OfType<PickingFellDue>()];

        Assert.Equal(3, Assert.Single(Due(Scout(1, "2027-02-03", 3, SymptomStage.Curled))).Curled);
        Assert.Empty(Due(Scout(1, "2027-02-03", 3, SymptomStage.WhiteBloom)));
        // More than a quarter of the shoots: such a tree needs every green part, as the journal says.
        Assert.Equal(5, Assert.Single(Due(Scout(1, "2027-02-03", 5, SymptomStage.Curled))).Curled);
        Assert.Empty(Due(Scout(1, "2027-02-03", 6, SymptomStage.Curled)));
        Assert.Empty(Due(Scout(1, "2027-02-03", 0, null)));
        Assert.Empty(
            Due(Scout(1, "2027-02-03", 3, SymptomStage.Curled), new PickEntry(2, "south-wall", "white-peach", new DateOnly(2027, 2, 3))));
    }

    [Fact]
    public void A_window_notes_the_cover_that_it_opened_on()
    {
        var diary = new Diary().Dry(72).Wet(20, 10, 4).Dry(12);
        Assert.Equal(Cover.Fresh, Assert.Single(Opened(Watched(diary, Stage(1, "2027-02-01", 9), Spray(2, "2027-02-02")))).Cover);
        Assert.Equal(Cover.None, Assert.Single(Opened(Watched(diary, Stage(1, "2027-02-01", 9)))).Cover);
        Assert.Null(Assert.Single(Opened(WatchedWithout(diary))).Cover);
    }

    [Fact]
    public void Bad_journal_entries_get_a_sentence()
    {
        JournalEntry[] others = [Stage(1, "2027-03-20", 9), Spray(2, "2027-02-03")];
        var today = new DateOnly(2027, 4, 1);
        string? Fault(JournalEntry entry) => JournalCheck.Fault(entry, others, today, Calendar);

        Assert.Equal(
            "Stage 01 on 2027-03-25 would run backwards: entry 1 has 09 on 2027-03-20. If that one is wrong, "
                + "add this one with --corrects 1.",
            Fault(Stage(3, "2027-03-25", 1)));
        Assert.Equal(
            "2027-04-02 is after today, 2027-04-01; the journal takes what has been done or seen.",
            Fault(Stage(3, "2027-04-02", 11)));
        Assert.StartsWith("Stone fruit has no BBCH code 08; near it are ", Fault(Stage(3, "2027-03-25", 8)), StringComparison.Ordinal);
        Assert.Contains("already written down for 2027-02-03 as entry 2", Fault(Spray(3, "2027-02-03")), StringComparison.Ordinal);
        Assert.Contains("20 years ago", Fault(Stage(3, "2007-03-20", 9)), StringComparison.Ordinal);
        // Next spring starts anew, flowers run beside leaves, and going on is what trees do.
        Assert.Null(Fault(Stage(3, "2027-03-25", 10)));
        // Two looks of one day: the one that was written first came first.
        Assert.Contains("would run backwards", Fault(Stage(3, "2027-03-20", 1)), StringComparison.Ordinal);
        Assert.Null(Fault(Stage(3, "2027-03-20", 11)));
        Assert.Null(Fault(Stage(3, "2027-03-25", 51)));
        Assert.Null(JournalCheck.Fault(Stage(3, "2028-03-01", 1), others, new DateOnly(2028, 3, 2), Calendar));
        Assert.Null(Fault(Spray(3, "2027-02-04")));
    }

    [Fact]
    public void An_unsound_journal_is_cleaned_and_told()
    {
        List<string> findings = [];
        var sound = JournalCheck.Sound(
            [Stage(1, "2027-03-20", 9), Stage(2, "2027-03-25", 1), Stage(3, "2027-03-28", 10)],
            Calendar,
            found => findings.Add(found.Text));

        Assert.Equal([1L, 3L], sound.Select(entry => entry.Number));
        Assert.StartsWith("Journal entry 2 on white-peach is left out.", Assert.Single(findings), StringComparison.Ordinal);
    }

    /// <summary>A wet spell on 2 February and one on 6 February, each long and cool enough for a window.</summary>
    private static Diary TwoWetSpells() => new Diary().Dry(24).Wet(20, 10, 8).Dry(76).Wet(20, 10, 8).Dry(24 * 15);

    private static IReadOnlyList<InfectionWindow> Opened(Seen seen) => seen.Opened();

    private static Seen Watched(Diary diary, params JournalEntry[] journal) => Watch(diary, journal);

    private static Seen WatchedWithout(Diary diary) => Watch(diary, null);

    private static Seen Watch(Diary diary, JournalEntry[]? journal)
    {
        List<SentinelEvent> events = [];
        var watch = new SiteWatch(Wall, events.Add, journal);
        foreach (var reading in diary.Readings)
            watch.Accept(reading, reading.Time);
        watch.AdvanceTo(diary.Now + Wall.LateAllowance);
        return new Seen(watch, events);
    }

    private static DateTimeOffset Day(string on) => new(Date(on).ToDateTime(TimeOnly.MinValue), TimeSpan.Zero);

    private static DateOnly Date(string on) => DateOnly.ParseExact(on, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);

    private static StageEntry Stage(long number, string on, int code) => new(number, "south-wall", "white-peach", Date(on), code);

    private static SprayEntry Spray(long number, string on) => new(number, "south-wall", "white-peach", Date(on), "copper", 5);

    private static ScoutEntry Scout(long number, string on, int curled, SymptomStage? symptom) =>
        new(number, "south-wall", "white-peach", Date(on), 20, curled, symptom);
}
