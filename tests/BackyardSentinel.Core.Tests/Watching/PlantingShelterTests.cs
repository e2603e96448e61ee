using BackyardSentinel.Events;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Tests.Watching;

/// <summary>A roof over a planting: rain neither wets it nor counts, and what the open sky would have given is kept.</summary>
public class PlantingShelterTests
{
    private static readonly DateOnly First = new(2027, 2, 1);

    [Fact]
    public void Under_a_shelter_no_rain_gives_a_window_a_level_or_a_look_and_what_it_kept_off_is_kept()
    {
        var weather = new Diary().Dry(2).Wet(60, tempC: 8, rainMm: 15).Dry(24 * 30);
        var open = Watch(weather);
        var roofed = Watch(weather, On(First));

        Assert.Contains(open.OfType<LevelChanged>(), change => change.To == Level.Severe);
        Assert.Contains(open, fact => fact is ScoutingFellDue);
        Assert.DoesNotContain(roofed, fact => fact is LevelChanged or ScoutingFellDue);
        Assert.All(Windows(roofed), window => Assert.True(window.Sheltered));
        Assert.Equal(Windows(open).Select(Sky), Windows(roofed).Select(Sky));
    }

    [Fact]
    public void It_is_on_from_the_day_after_it_was_put_on_and_off_from_the_day_it_was_taken_off()
    {
        DateOnly on = new(2027, 2, 3), off = new(2027, 2, 9), again = new(2027, 2, 20);
        var watch = new SiteWatch(
            Some.Garden(), _ => { }, [Put(on), new ShelterEntry(2, "garden", "tree", off, false), Put(again) with { Number = 3 }]);
        var shelter = watch.Plantings[0].Shelter;

        Assert.Equal([null, on, on], new[] { 0, 1, 5 }.Select(days => shelter.OnSince(on.AddDays(days))));
        Assert.Equal([null, null, again], new[] { off, again, again.AddDays(1) }.Select(shelter.OnSince));
    }

    // A roof that was noted once and never again: nobody knows whether it still stands.
    [Fact]
    public void A_note_counts_until_its_season_is_over_and_may_be_made_anew_in_the_next()
    {
        DateOnly noted = new(2026, 11, 20), lastDay = new(2027, 8, 31);
        var shelter = new SiteWatch(Some.Garden() with { LatitudeDeg = 46 }, _ => { }, [Put(noted)]).Plantings[0].Shelter;

        Assert.Equal([noted, null], new[] { lastDay, lastDay.AddDays(1) }.Select(shelter.OnSince));
        Assert.NotNull(Again(lastDay));
        Assert.Null(Again(lastDay.AddDays(1)));

        string? Again(DateOnly day) => JournalCheck.Fault(Put(day) with { Number = 2 }, [Put(noted)], null, new SeasonCalendar(46));
    }

    // It was put on in the evening, after the window had opened: what the rain has wetted stays wetted.
    [Fact]
    public void A_window_that_opened_on_the_day_it_was_put_on_stays()
    {
        var wet = new Diary().Dry(2).Wet(20, rainMm: 8);
        Assert.Equal(Level.Possible, Fed(wet, Put(First)).Risk.Level);
        Assert.Contains(Windows(Watch(wet, Put(First))), window => window is { Sheltered: false, Rule: "wet-hours" });
    }

    [Fact]
    public void What_the_open_sky_would_give_is_told_while_it_is_on_and_not_known_where_readings_are_missing()
    {
        var wet = new Diary().Dry(2).Wet(20, rainMm: 8);
        Assert.Equal(Level.Possible, Fed(wet, On(First)).OpenSkyLevel);
        Assert.Equal(Level.Clear, Fed(wet, On(First)).Risk.Level);
        Assert.Null(Fed(wet).OpenSkyLevel);

        var silent = Fed(new Diary().Dry(2).Wet(20, rainMm: 8).Silence(8), On(First));
        Assert.Equal(Level.Unknown, silent.OpenSkyLevel);
    }

    [Fact]
    public void Without_a_shelter_and_after_it_is_off_all_is_as_under_the_open_sky() =>
        Gen.Select(Gen.Int[1, 40], Gen.Double[0, 12], Gen.Double[0, 20]).Array[1, 12].Sample(spells =>
        {
            var weather = new Diary();
            foreach (var (hours, rainMm, tempC) in spells)
                weather.Wet(hours, tempC, rainMm).Dry(hours);
            var open = Watch(weather);
            // Taken off before the first day of the diary.
            var off = Watch(weather, On(First.AddDays(-9)), new ShelterEntry(2, "garden", "tree", First.AddDays(-3), false));

            Assert.Equal(open, off);
        }, iter: 40);

    [Fact]
    public void Every_window_that_the_open_sky_opens_while_it_is_on_is_kept_as_sheltered_and_no_other() =>
        Gen.Select(Gen.Int[1, 40], Gen.Double[0, 12], Gen.Double[0, 15])
            .Array[1, 12]
            .Sample(
                spells =>
                {
                    var weather = new Diary();
                    foreach (var (hours, rainMm, tempC) in spells)
                        weather.Wet(hours, tempC, rainMm).Dry(hours);
                    var (on, off) = (First.AddDays(2), First.AddDays(9));
                    bool Roofed(InfectionWindow window) =>
                        LocalDay.Of(window.OpenedAt.AddTicks(-1), TimeZoneInfo.Utc) is var day && day >= on && day < off;

                    var open = Windows(Watch(weather)).Where(Roofed).Select(Sky);
                    var kept = Windows(Watch(weather, On(on), new ShelterEntry(2, "garden", "tree", off, false)));

                    Assert.Equal(open, kept.Where(window => window.Sheltered).Select(Sky));
                    Assert.DoesNotContain(kept, window => !window.Sheltered && Roofed(window));
                }, iter: 40);

    [Fact]
    public void Put_on_in_a_wet_spell_it_ends_the_planting_s_own_and_taken_off_rain_counts_from_then_only()
    {
        // Wet from noon on; the roof goes on at the second midnight and off at the fourth.
        var weather = new Diary().Dry(12).Wet(24 * 5, tempC: 8, rainMm: 30);
        var roofed = Watch(weather, On(First.AddDays(1)), new ShelterEntry(2, "garden", "tree", First.AddDays(3), false));

        // 12 h before the roof are not enough, and after it no rain falls to begin with.
        Assert.DoesNotContain(Windows(roofed), window => window is { Sheltered: false, Rule: "wet-hours" });
        Assert.Equal([Level.Building, Level.Clear], roofed.OfType<LevelChanged>().Take(2).Select(change => change.To));
        Assert.Equal(Some.At(24 + 4).AddMinutes(10), roofed.OfType<LevelChanged>().ElementAt(1).At);
    }

    [Fact]
    public void Rain_does_not_wash_a_spray_under_a_shelter()
    {
        var site = Some.Garden() with
        {
            Products =
            [
                new SprayProduct
                {
                    Id = "copper",
                    Name = "Blue tub",
                    Active = ActiveIngredient.CopperHydroxide,
                },
            ],
        };
        var weather = new Diary().Dry(24).Wet(24, rainMm: 60).Dry(4);
        var spray = new SprayEntry(1, "garden", "tree", First, "copper", 5);

        Assert.Contains(Watch(site, weather, spray), fact => fact is CoverChanged { Cover: Cover.Spent });
        Assert.DoesNotContain(
            Watch(site, weather, spray, new ShelterEntry(2, "garden", "tree", First.AddDays(-1), true)),
            fact => fact is CoverChanged);
    }

    [Fact]
    public void A_sensor_that_falls_silent_leaves_a_sheltered_planting_clear()
    {
        // Nothing comes but wind, so that neither wetness nor temperature is known.
        var weather = new Diary().Dry(6).Silence(12).Dry(1);

        Assert.Contains(Watch(weather), fact => fact is LevelChanged { To: Level.Unknown });
        Assert.DoesNotContain(Watch(weather, On(First)), fact => fact is LevelChanged);
    }

    [Fact]
    public void A_sensor_under_the_shelter_alone_wets_what_stands_under_it()
    {
        // Wet under the roof and dry outside, then the other way round.
        var weather = new Diary()
            .Rows(30, 8, 60, underShelter: 90)
            .Rows(10, 8, 60, underShelter: 5)
            .Rows(30, 8, 95, rainMm: 20, underShelter: 5);
        var site = WithSensor(Some.Garden());
        var windows = Windows(Watch(site, weather, On(First)));

        var own = Assert.Single(windows, window => window is { Sheltered: false, Rule: "wet-hours" });
        Assert.Equal(Some.At(12.5), own.OpenedAt);
        Assert.Equal((30, 8, true), (own.WetHours, own.MeanTempC, own.NoRainGauge));
        var sky = Assert.Single(windows, window => window is { Sheltered: true, Rule: "wet-hours" });
        Assert.True(sky.OpenedAt > Some.At(40));
        Assert.Equal(20, sky.RainMm);
    }

    [Fact]
    public void A_sensor_under_the_shelter_says_nothing_of_the_open_sky() =>
        Gen.Select(Gen.Int[1, 20], Gen.Double[0, 12], Gen.Double[0, 20], Gen.Double[0, 100]).Array[1, 12].Sample(spells =>
        {
            var (without, with) = (new Diary(), new Diary());
            foreach (var (hours, rainMm, tempC, wet) in spells)
            {
                without.Rows(hours, tempC, 95, rainMm).Dry(hours);
                with.Rows(hours, tempC, 95, rainMm, underShelter: wet).Rows(hours, 10, 60, underShelter: wet);
            }

            // In the open all year, and with a shelter that is off.
            Assert.Equal(Watch(without), Watch(WithSensor(Some.Garden()), with));
            Assert.Equal(
                Watch(without),
                Watch(
                    WithSensor(Some.Garden()),
                    with,
                    On(First.AddDays(-9)),
                    new ShelterEntry(2, "garden", "tree", First.AddDays(-3), false)));
        },
                iter: 30);

    [Fact]
    public void A_sensor_under_the_shelter_that_never_wets_it_leaves_it_as_clear_as_one_without()
    {
        var weather = new Diary()
            .Rows(2, 8, 60, underShelter: 0)
            .Rows(60, 8, 95, rainMm: 15, underShelter: 0)
            .Rows(24 * 14, 10, 60, underShelter: 0);
        Assert.Equal(Watch(weather, On(First)), Watch(WithSensor(Some.Garden()), weather, On(First)));
    }

    [Fact]
    public void A_sensor_under_the_shelter_that_falls_silent_is_not_known_to_be_dry()
    {
        var weather = new Diary().Rows(6, 8, 60, underShelter: 0).Rows(6, 8, 60).Rows(6, 8, 60, underShelter: 0);
        var changes = Watch(WithSensor(Some.Garden()), weather, On(First)).OfType<LevelChanged>().ToList();

        Assert.Equal([Level.Unknown, Level.Clear], changes.Select(change => change.To));
        // Each row holds for its ten minutes; two hours after the last the level is not known any more.
        Assert.Equal((Some.At(6), Some.At(8).AddMinutes(10)), (changes[0].Since, changes[0].At));
        Assert.Equal(Some.At(12).AddMinutes(10), changes[1].At);
    }

    [Fact]
    public void A_wet_spell_goes_on_under_the_shelter_where_its_sensor_says_wet()
    {
        // Rain from noon on; the roof goes on at midnight over leaves that stay wet.
        var weather = new Diary()
            .Rows(12, 8, 60, underShelter: 0)
            .Rows(12, 8, 95, rainMm: 1, underShelter: 90)
            .Rows(6, 8, 60, underShelter: 90)
            .Rows(10, 8, 60, underShelter: 0);
        var window = Assert.Single(
            Windows(Watch(WithSensor(Some.Garden()), weather, On(First.AddDays(1)))),
            window => window is { Sheltered: false, Rule: "wet-hours" });

        // 1 mm would not do in the open; what came in under the roof nobody has measured.
        Assert.Equal((18, true), (window.WetHours, window.NoRainGauge));
    }

    [Theory]
    [InlineData(50, 20, false, "90 30 10 30", "wet wet dry dry")]
    [InlineData(300, 500, true, "200 400 600 400", "wet wet dry dry")]
    public void Its_limits_are_its_own_and_have_two_sides(double on, double off, bool inverted, string values, string expected)
    {
        // The open sensor's limits would call all of these wet, or none.
        var site = Some.Garden() with { UnderShelter = new WetnessScale(on, off, inverted), LeafWetOn = 1, LeafWetOff = 1 };
        var watch = new SiteWatch(site, _ => { }, [On(First)]);
        List<string> seen = [];
        double wet = 0;
        var at = Some.Midnight;
        foreach (var value in values.Split(' '))
        {
            watch.Accept(Some.Temperature(at, 8), at);
            watch.Accept(Some.LeafUnderShelter(at, double.Parse(value, System.Globalization.CultureInfo.InvariantCulture)), at);
            at = at.AddHours(1);
            watch.AdvanceTo(at + site.LateAllowance);
            var now = watch.Risks[0].Spell?.WetHours ?? 0;
            seen.Add(now > wet ? "wet" : "dry");
            wet = now;
        }

        Assert.Equal(expected, string.Join(' ', seen));
    }

    [Theory]
    [InlineData(true, "is on already since 2027-02-01, by entry 1")]
    [InlineData(false, null)]
    public void What_is_on_is_not_put_on_again(bool isOn, string? fault)
    {
        var said = JournalCheck.Fault(
            new ShelterEntry(2, "garden", "tree", First.AddDays(3), isOn),
            [Put(First)],
            null,
            new SeasonCalendar(46));

        if (fault is null)
            Assert.Null(said);
        else
            Assert.Contains(fault, said, StringComparison.Ordinal);
    }

    private static Site WithSensor(Site site) => site with { UnderShelter = new WetnessScale(50, 20) };

    private static ShelterEntry Put(DateOnly day) => new(1, "garden", "tree", day, true);

    /// <summary>It was put on the day before.</summary>
    private static ShelterEntry On(DateOnly day) => Put(day.AddDays(-1));

    private static List<SentinelEvent> Watch(Diary weather, params JournalEntry[] journal) => Watch(Some.Garden(), weather, journal);

    private static List<SentinelEvent> Watch(Site site, Diary weather, params JournalEntry[] journal)
    {
        List<SentinelEvent> events = [];
        var watch = new SiteWatch(site, events.Add, journal);
        foreach (var reading in weather.Readings)
            watch.Accept(reading, reading.Time);
        watch.Finish();
        return events;
    }

    private static PlantingWatch Fed(Diary weather, params JournalEntry[] journal) =>
        Some.Fed(Some.Garden(), weather.Readings, weather.Now + Some.Garden().LateAllowance, journal).Plantings[0];

    private static List<InfectionWindow> Windows(IEnumerable<SentinelEvent> events) =>
        [.. events.OfType<InfectionWindowClosed>().Select(closed => closed.Window)];

    private static InfectionWindow Sky(InfectionWindow window) => window with { Sheltered = false };
}
