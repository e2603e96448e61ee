using BackyardSentinel.Events;
using BackyardSentinel.Tuning;

namespace BackyardSentinel.Tests.Tuning;

/// <summary>The windows that are found from a recording are those of the ordinary watch with the same limits, to the interval.</summary>
public class LimitScorerTests
{
    private static readonly SprayProduct Copper = new()
    {
        Id = "copper",
        Name = "Copper",
        Active = ActiveIngredient.CopperHydroxide,
        Unit = ProductUnit.Gram,
        ContentPct = 50,
        DosePerL = 2,
    };

    private static readonly Site Yard = Some.Garden() with
    {
        Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid"),
        Plantings =
        [
            new Planting("always"),
            new Planting("followed") { Follows = StageNeeds.Default },
            new Planting("roofed", Stage: Some.GreenTips),
            new Planting("roofed-with-sensor", Stage: Some.GreenTips),
        ],
        Products = [Copper],
        UnderShelter = new WetnessScale(50, 20),
        LatitudeDeg = 41,
    };

    private static readonly DateOnly Day = DateOnly.FromDateTime(Some.Midnight.Date);

    private static readonly JournalEntry[] Journal =
    [
        new StageEntry(1, "garden", "followed", Day.AddDays(9), 1),
        new ShelterEntry(2, "garden", "roofed", Day.AddDays(6), true),
        new ShelterEntry(3, "garden", "roofed", Day.AddDays(14), false),
        new ShelterEntry(4, "garden", "roofed-with-sensor", Day.AddDays(3), true),
        new SprayEntry(5, "garden", "always", Day.AddDays(5), "copper", 5),
        new ScoutEntry(6, "garden", "always", Day.AddDays(38), 20, 0),
        new ScoutEntry(7, "garden", "always", Day.AddDays(45), 20, 2),
        new ScoutEntry(8, "garden", "followed", Day.AddDays(40), 20, 0),
        new ScoutEntry(9, "garden", "followed", Day.AddDays(47), 20, 0),
        new ScoutEntry(10, "garden", "roofed", Day.AddDays(36), 20, 1),
        new ScoutEntry(11, "garden", "roofed-with-sensor", Day.AddDays(42), 20, 0),
    ];

    [Theory]
    [InlineData(RuleName.WetHours)]
    [InlineData(RuleName.RainDay)]
    [InlineData(RuleName.TwoDay)]
    public void On_random_weather_the_windows_are_those_of_the_watch(RuleName rule)
    {
        var (random, found) = (new Random(20270201), 0);
        for (var round = 0; round < Math.Max(4, Rounds.Of(8)); round++)
        {
            var readings = Weather(random, round % 4 != 3);
            var site = Yard with { HasRainGauge = round % 4 != 3, Step = TimeSpan.FromMinutes(round % 2 == 0 ? 10 : 30) };
            var recording = Recorded(site, readings, Journal);
            for (var i = 0; i < Math.Max(2, Rounds.Of(4)); i++)
                found += AssertSame(recording, readings, Journal, RandomLimits.Draw(random, rule), (Level)random.Next(1, 5));
        }

        Assert.True(found > 20, $"Only {found} windows were compared.");
    }

    /// <summary>A thermometer that is set to °F for some hours of a spell is doubted, and the watch forgets what it told.</summary>
    [Fact]
    public void Temperatures_that_could_not_be_right_are_forgotten_as_the_watch_forgets_them()
    {
        var found = 0;
        for (var hours = 1; hours <= 8; hours++)
        {
            var diary = new Diary();
            diary.Rows(60, 9, 70, 0);
            diary.Rows(10, 9, 97, 0.4);
            diary.Rows(hours, 48, 97, 0.4);
            diary.Rows(24, 9, 97, 0.4);
            diary.Rows(48, 9, 70, 0);
            var recording = Recorded(Yard, diary.Readings, Journal);
            foreach (var warmest in new[] { 10.0, 16, 24 })
                found += AssertSame(
                    recording, diary.Readings, Journal, new(Yard.Spell, new WetHoursLimits(1, 12, warmest)), Level.Possible);
        }

        Assert.True(found > 12, $"Only {found} windows were compared.");
    }

    /// <summary>A search asks tables that serve all its sets, the widest too; by itself each set has one that is its own.</summary>
    [Theory]
    [InlineData(RuleName.TwoDay, "wet_hours", "lowest_temperature", "temperature", "humidity", "dry_gap", "wet_humidity")]
    [InlineData(RuleName.RainDay, "rain", "temperature")]
    [InlineData(RuleName.WetHours, "wet_hours", "rain", "dry_gap", "wetness_estimator")]
    public void The_counts_of_a_search_are_those_of_each_set_by_itself(RuleName rule, params string[] words)
    {
        var random = new Random(20270301);
        var readings = Weather(random, true, whole: true);
        var recording = Recorded(Yard, readings, Journal);
        var scouted = new ScoutedSeasons(recording, Journal, day => day.Year);
        foreach (var level in new[] { Level.Possible, Level.Severe })
        {
            var search = new LimitSearch(
                recording,
                scouted,
                LimitSet.Of(Yard, rule.Word(), Day),
                [.. LimitAxis.All(rule).Where(axis => words.Contains(axis.Word))],
                3,
                level);
            for (var part = 0; part < search.Parts; part++)
                search.Score(part);
            search.Search(0);
            var (scorer, alone, differ) = (new LimitScorer(recording, scouted, level), new Counts[scouted.Seasons.Count], 0);
            var step = Math.Max(1, search.Sets.Count / Math.Max(60, Rounds.Of(300)));
            for (var i = 0; i < search.Sets.Count; i += step)
            {
                scorer.Score(search.Sets[i], alone);
                Assert.Equal(alone, search.OfGrid(i).ToArray());
                differ += alone.SequenceEqual(search.OfGrid(0).ToArray()) ? 0 : 1;
            }

            scorer.Score(search.Found(0), alone);
            Assert.Equal(alone, search.Of(search.Found(0)));
            Assert.True(differ > 5 || level == Level.Severe, $"Only {differ} sets count otherwise than the first.");
        }
    }

    // Recorded years (tests/data/README.md): buds followed through the year, wetness from humidity or a sensor.
    [Theory]
    [InlineData("pnw14_pdx", "America/Los_Angeles", 45.59, 60, 6)]
    [InlineData("nyc13_ewr", "America/New_York", 40.69, 60, 6)]
    [InlineData("whately15", "America/New_York", 42.45, 10, 3)]
    public void On_recorded_years_the_windows_are_those_of_the_watch(string log, string zone, double latitude, int minutes, int sets)
    {
        var site = new Site
        {
            Id = "garden",
            Zone = TimeZoneInfo.FindSystemTimeZoneById(zone),
            LatitudeDeg = latitude,
            Step = TimeSpan.FromMinutes(minutes),
            Plantings = [new Planting("followed") { Follows = StageNeeds.Default }, new Planting("always")],
        };
        var readings = Logged(log, minutes);
        var (recording, random, found) = (Recorded(site, readings, []), new Random(7), 0);
        var times = Math.Max(1, Rounds.Of(sets));
        for (var i = 0; i < times; i++)
        {
            found += AssertSame(recording, readings, [], RandomLimits.Draw(random, RuleName.WetHours), Level.Possible);
            AssertSame(recording, readings, [], RandomLimits.Draw(random, RuleName.RainDay), Level.Possible);
            AssertSame(recording, readings, [], RandomLimits.Draw(random, RuleName.TwoDay), Level.Severe);
        }

        Assert.True(found > 5 * times, $"Only {found} windows were compared in {times}.");
    }

    [Fact]
    public void What_scouting_makes_of_them_is_what_verification_says()
    {
        var random = new Random(11);
        var (hits, others) = (0, 0);
        for (var round = 0; round < Math.Max(5, Rounds.Of(12)); round++)
        {
            var readings = Weather(random, true, whole: true);
            var recording = Recorded(Yard, readings, Journal);
            var scouted = new ScoutedSeasons(recording, Journal, day => day.Year);
            Assert.Equal(0, scouted.NotMeasured);
            var set = RandomLimits.Draw(random, RuleName.WetHours);
            var counts = new Counts[scouted.Seasons.Count];
            new LimitScorer(recording, scouted, Level.Possible).Score(set, counts);

            var windows = Windows(Yard, readings, Journal, set).Select(window => window.Window);
            var verified = new Verification(
                windows,
                Journal.OfType<ScoutEntry>(),
                Yard.Zone,
                day => day.Year,
                planting => recording.SymptomDays[Yard.Plantings.ToList().FindIndex(one => one.Id == planting)],
                _ => true);
            Assert.Equal(
                (verified.Hits, verified.FalseAlarms, verified.Misses, verified.Unverified, verified.CorrectNegatives),
                (counts[0].Hits, counts[0].FalseAlarms, counts[0].Misses, counts[0].Unverified, counts[0].CorrectNegatives));
            (hits, others) = (hits + counts[0].Hits, others + counts[0].FalseAlarms + counts[0].Misses + counts[0].CorrectNegatives);
        }

        Assert.True(hits > 10 && others > 10, $"{hits} hits and {others} others are too few to tell.");
    }

    private static int AssertSame(
        Recording recording, IReadOnlyList<Reading> readings, JournalEntry[] journal, LimitSet set, Level level)
    {
        var windows = Windows(recording.Site, readings, journal, set);
        var scorer = new LimitScorer(recording, new ScoutedSeasons(recording, journal, day => day.Year), level);
        for (var planting = 0; planting < recording.Site.Plantings.Count; planting++)
        {
            var id = recording.Site.Plantings[planting].Id;
            Assert.Equal(
                windows.Where(window => window.Window.Planting == id && window.Closed.Level >= level)
                    .Select(window => window.Window.OpenedAt),
                scorer.Openings(set, planting).Select(recording.EndOf));
        }

        return windows.Count;
    }

    /// <summary>The windows of the ordinary watch, as they opened and as they closed.</summary>
    private static List<(InfectionWindow Window, InfectionWindow Closed)> Windows(
        Site site, IReadOnlyList<Reading> readings, JournalEntry[] journal, LimitSet set)
    {
        List<SentinelEvent> events = [];
        Feed(set.At(site), readings, journal, events.Add, null);
        var closed = events.OfType<InfectionWindowClosed>().ToList();
        return
        [
            .. events
                .OfType<InfectionWindowOpened>()
                .Where(opened => !opened.Window.Sheltered && opened.Window.Rule == set.Rule.Rule.Word())
                .Select(opened => (opened.Window, closed
                    .First(one => !one.Window.Sheltered
                        && one.Window.Rule == opened.Window.Rule
                        && one.Window.Planting == opened.Window.Planting
                        && one.Window.OpenedAt == opened.Window.OpenedAt)
                    .Window)),
        ];
    }

    private static Recording Recorded(Site site, IReadOnlyList<Reading> readings, JournalEntry[] journal)
    {
        var recorder = new LogRecorder();
        Feed(site, readings, journal, _ => { }, recorder.Note);
        return recorder.Recording!;
    }

    private static void Feed(
        Site site, IReadOnlyList<Reading> readings, JournalEntry[] journal, Action<SentinelEvent> tell, Action<SiteWatch>? each)
    {
        var watch = new SiteWatch(site, tell, journal, onInterval: each);
        foreach (var reading in readings)
            watch.Accept(reading, reading.Time);
        watch.Finish();
    }

    /// <summary>Seven weeks of stretches: rain, fog, dry air, silence, frost, a leaf sensor.</summary>
    private static IReadOnlyList<Reading> Weather(Random random, bool rain, bool whole = false)
    {
        var diary = new Diary();
        while (diary.Now < Some.Midnight.AddDays(50))
        {
            var (hours, tempC) = (random.Next(2, 90) / 6.0, random.Next(-3, 19) + (random.Next(10) / 10.0));
            _ = random.Next(whole ? 7 : 9) switch
            {
                0 or 1 => diary.Rows(hours, tempC, 96, rain ? random.Next(0, 40) / 5.0 : null, underShelter: random.Next(100)),
                2 or 3 => diary.Rows(hours, tempC, random.Next(78, 100), rain ? 0 : null),
                4 or 5 => diary.Rows(hours, tempC, random.Next(50, 85), rain ? 0 : null),
                6 => diary.Rows(hours, tempC, 60, rain ? 0 : null, leaf: random.Next(100), underShelter: random.Next(100)),
                7 => diary.Rows(hours, null, 95, rain ? 0 : null),
                _ => diary.Silence(hours / 3),
            };
        }

        return diary.Readings;
    }

    private static List<Reading> Logged(string log, int minutes)
    {
        List<Reading> readings = [];
        foreach (var row in OutsideData.Rows(OutsideData.Weather(log + ".csv")!))
        {
            var time = DateTimeOffset.Parse(row["time"], CultureInfo.InvariantCulture).ToUniversalTime();
            Read(Quantity.Temperature, "temperature_c");
            Read(Quantity.Humidity, "humidity_pct");
            Read(Quantity.LeafWetness, "leaf_wetness");
            Read(Quantity.Rain, "rain_mm");

            void Read(Quantity quantity, string name)
            {
                if (double.TryParse(row[name], CultureInfo.InvariantCulture, out var value))
                    readings.Add(new Reading(quantity, time, value, TimeSpan.FromMinutes(minutes)));
            }
        }

        return readings;
    }
}
