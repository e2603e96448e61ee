using BackyardSentinel.Events;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Spraying;
using BackyardSentinel.Weather;
using CsCheck;
using Xunit;

namespace BackyardSentinel.Tests;

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
        Gen.Select(Gen.Int[1, 40], Gen.Double[0, 12], Gen.Double[0, 15]).Array[1, 12].Sample(spells =>
        {
            var weather = new Diary();
            foreach (var (hours, rainMm, tempC) in spells)
                weather.Wet(hours, tempC, rainMm).Dry(hours);
            var (on, off) = (First.AddDays(2), First.AddDays(9));
            bool Roofed(InfectionWindow window) => LocalDay.Of(window.OpenedAt.AddTicks(-1), TimeZoneInfo.Utc) is var day && day >= on && day < off;

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
        Assert.DoesNotContain(Windows(roofed), window => window is { Sheltered: false, Rule: WetHoursRule.RuleName });
        Assert.Equal([Level.Building, Level.Clear], roofed.OfType<LevelChanged>().Take(2).Select(change => change.To));
        Assert.Equal(Some.At(24 + 4).AddMinutes(10), roofed.OfType<LevelChanged>().ElementAt(1).At);
    }

    [Fact]
    public void Rain_does_not_wash_a_spray_under_a_shelter()
    {
        var site = Some.Garden() with { Products = [new SprayProduct { Id = "copper", Name = "Blue tub", Active = ActiveIngredient.CopperHydroxide }] };
        var weather = new Diary().Dry(24).Wet(24, rainMm: 60).Dry(4);
        var spray = new SprayEntry(1, "garden", "tree", First, "copper", 5);

        Assert.Contains(Watch(site, weather, spray), fact => fact is CoverChanged { Cover: Cover.Spent });
        Assert.DoesNotContain(Watch(site, weather, spray, new ShelterEntry(2, "garden", "tree", First, true)), fact => fact is CoverChanged);
    }

    [Fact]
    public void A_sensor_that_falls_silent_leaves_a_sheltered_planting_clear()
    {
        // Nothing comes but wind, so that neither wetness nor temperature is known.
        var weather = new Diary().Dry(6).Silence(12).Dry(1);

        Assert.Contains(Watch(weather), fact => fact is LevelChanged { To: Level.Unknown });
        Assert.DoesNotContain(Watch(weather, On(First)), fact => fact is LevelChanged);
    }

    [Theory]
    [InlineData(true, "is on already since 2027-02-01, by entry 1")]
    [InlineData(false, null)]
    public void What_is_on_is_not_put_on_again(bool isOn, string? fault)
    {
        var said = JournalCheck.Fault(new ShelterEntry(2, "garden", "tree", First.AddDays(3), isOn), [On(First)], null, new SeasonCalendar(46));

        if (fault is null)
            Assert.Null(said);
        else
            Assert.Contains(fault, said, StringComparison.Ordinal);
    }

    private static ShelterEntry On(DateOnly day) => new(1, "garden", "tree", day, true);

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

    private static List<InfectionWindow> Windows(IEnumerable<SentinelEvent> events) => [.. events.OfType<InfectionWindowClosed>().Select(closed => closed.Window)];

    private static InfectionWindow Sky(InfectionWindow window) => window with { Sheltered = false };
}
