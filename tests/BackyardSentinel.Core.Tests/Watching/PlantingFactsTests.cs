using BackyardSentinel.Tests.Planning;

namespace BackyardSentinel.Tests.Watching;

/// <summary>What a plan is told of a planting from the journal alone, before anything was measured.</summary>
public class PlantingFactsTests
{
    private static readonly DateTimeOffset Now = new(2027, 1, 15, 8, 0, 0, TimeSpan.Zero);

    private static readonly Site Place = new()
    {
        Id = "south-wall",
        LatitudeDeg = 45.7,
        LongitudeDeg = 14.9,
        Products = [SprayGarden.Copper, SprayGarden.Oil],
        Plantings = [new Planting("white-peach") { Name = "Old peach", Follows = StageNeeds.Default }],
    };

    // Seasons turn on 1 September.
    [Theory]
    [InlineData("2026-11-01", true)]
    [InlineData("2025-09-01", true)]
    [InlineData("2025-08-31", false)]
    public void A_shelter_of_this_season_or_the_last_is_in_use(string putOn, bool used) =>
        Assert.Equal(used, Facts(Shelter(1, putOn, true), Shelter(2, putOn, false)).UsesShelter);

    [Fact]
    public void The_last_entry_says_whether_a_shelter_is_on()
    {
        Assert.Equal(Date("2026-12-01"), Facts(Shelter(1, "2026-12-01", true)).ShelteredSince);
        Assert.Null(Facts(Shelter(1, "2026-12-01", true), Shelter(2, "2027-01-05", false)).ShelteredSince);
        Assert.Null(Facts(Shelter(2, "2026-12-01", false), Shelter(1, "2026-12-01", true)).ShelteredSince);
    }

    [Theory]
    [InlineData("2026-05-10", 3, true)]
    [InlineData("2026-05-10", 0, false)]
    [InlineData("2025-09-01", 3, true)]
    [InlineData("2025-08-31", 3, null)] // The spring before last.
    [InlineData("2026-10-01", 3, null)] // This season's.
    public void Curl_last_spring_is_what_was_seen_then(string on, int curled, bool? had) =>
        Assert.Equal(had, Facts(new ScoutEntry(1, "south-wall", "white-peach", Date(on), 20, curled, null)).CurlLastSpring);

    [Fact]
    public void What_the_garden_file_says_of_last_spring_stands_where_nobody_looked()
    {
        var told = Place with { Plantings = [Place.Plantings[0] with { HadCurlLastSpring = true }] };

        Assert.True(Facts(told).CurlLastSpring);
        Assert.False(Facts(told, new ScoutEntry(1, "south-wall", "white-peach", Date("2026-05-10"), 20, 0, null)).CurlLastSpring);
        Assert.Null(Facts().CurlLastSpring);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_stage_is_seen_where_the_grower_noted_it_and_not_where_it_was_reckoned(bool noted)
    {
        var diary = new Diary(rowMinutes: 60).Dry(24 * (noted ? 3 : 90), 14);
        StageEntry[] journal = noted ? [new(1, "south-wall", "white-peach", Date("2027-02-02"), 1)] : [];
        var watch = new SiteWatch(Place, _ => { }, journal);
        foreach (var reading in diary.Readings)
            watch.Accept(reading, reading.Time);
        var planting = SitePlan.Request(watch, journal, null, diary.Now).Plantings[0];

        Assert.True(planting.Stage >= 1);
        Assert.Equal(noted, planting.StageIsSeen);
    }

    // BBCH 95 and 97 (Meier et al. 1994): half and all of the leaves down.
    [Fact]
    public void Leaf_fall_is_the_last_note_of_it_also_as_a_stage()
    {
        var half = new StageEntry(1, "south-wall", "white-peach", Date("2026-11-10"), 95);
        var noted = new LeafFallEntry(2, "south-wall", "white-peach", Date("2026-11-14"), 70);
        var all = new StageEntry(3, "south-wall", "white-peach", Date("2026-11-20"), 97);

        Assert.Equal((50.0, Date("2026-11-10")), (Facts(half).LeafFall!.FallenPct, Facts(half).LeafFall!.On));
        Assert.Equal(noted, Facts(noted, half).LeafFall);
        Assert.Equal((100.0, Date("2026-11-20")), (Facts(all, half, noted).LeafFall!.FallenPct, Facts(all).LeafFall!.On));
        Assert.Null(Facts(half with { Code = 93 }).LeafFall);
    }

    [Theory]
    [InlineData("2027-01-15", Cover.Fresh)]
    [InlineData("2027-01-14", Cover.Recheck)]
    public void A_spray_that_no_weather_was_watched_after_is_one_to_look_at_unless_it_is_todays(string on, Cover cover)
    {
        var site = Place with { Plantings = [new Planting("white-peach") { Name = "Old peach", Stage = 0 }] };
        var spray = new SprayEntry(1, "south-wall", "white-peach", Date(on), "copper", 5);
        var request = SitePlan.Request(new SiteWatch(site, _ => { }, [spray]), [spray], null, Now);

        Assert.Equal((cover, (double?)null), (request.Plantings[0].Cover, request.Plantings[0].CoverRainMm));
        Assert.Equal(
            cover == Cover.Recheck,
            request.Notes.Select(one => one.Text).Contains("Old peach: the rain since the spray on 14 Jan is not known, "
                + "so its cover counts as one to look at."));
        JournalEntry oil = spray with { Product = "oil" };
        Assert.Equal(Cover.None, SitePlan.Request(new SiteWatch(site, _ => { }, [oil]), [oil], null, Now).Plantings[0].Cover);
    }

    [Fact]
    public void Why_no_swell_can_be_told_is_noted_by_the_plantings_name() =>
        Assert.Contains(
            SitePlan.Request(new SiteWatch(Place, _ => { }), [], null, Now).Notes,
            note => note.Text.StartsWith("Old peach: ", StringComparison.Ordinal));

    [Fact]
    public void Needs_that_a_winter_does_not_meet_are_told_once_by_the_plantings_id()
    {
        var diary = new Diary(new DateTimeOffset(2026, 9, 1, 0, 0, 0, TimeSpan.Zero), rowMinutes: 60);
        for (var hour = 0; hour < 24 * 220; hour++)
            diary.Dry(1, 20 + (hour % 24 / 4.0));
        var watch = new SiteWatch(Place, _ => { });
        foreach (var reading in diary.Readings)
            watch.Accept(reading, reading.Time);

        var note = Assert.Single(
            SitePlan.Request(watch, [], null, diary.Now).Notes,
            note => note.Text.Contains("did not bring the chill", StringComparison.Ordinal));
        Assert.StartsWith("white-peach: This winter did not", note.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, "2027-01-09", 0)]
    [InlineData(0, "2027-01-08", null)] // Bare buds are believed for a week.
    [InlineData(91, "2027-01-09", 91)]
    [InlineData(91, "2027-01-08", null)]
    [InlineData(1, "2026-12-01", 1)] // Buds that have moved stay so for the season.
    [InlineData(1, "2026-11-01", 1)] // From the day on which chill counts.
    [InlineData(1, "2026-10-31", null)]
    [InlineData(1, "2026-05-01", null)]
    public void Without_a_sensor_a_noted_stage_is_believed_for_its_time(int code, string on, int? believed)
    {
        var stage = new StageEntry(1, "south-wall", "white-peach", Date(on), code);

        // The watch itself, which nothing was told, knows no stage.
        var request = SitePlan.Request(new SiteWatch(Place, _ => { }), [stage], null, Now);
        Assert.Equal(believed, request.Plantings[0].Stage);
    }

    private static PlanPlanting Facts(params JournalEntry[] journal) => Facts(Place, journal);

    private static PlanPlanting Facts(Site site, params JournalEntry[] journal) =>
        SitePlan.Request(new SiteWatch(site, _ => { }), journal, null, Now).Plantings[0];

    private static ShelterEntry Shelter(long number, string on, bool isOn) => new(number, "south-wall", "white-peach", Date(on), isOn);

    private static DateOnly Date(string on) => DateOnly.ParseExact(on, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
}
