using BackyardSentinel.Watching;

namespace BackyardSentinel.Tests.Watching;

public class JournalCheckTests
{
    private static readonly SeasonCalendar North = new(46.05);

    private static readonly DateOnly Today = new(2027, 4, 1);

    private static readonly DateTimeOffset Now = new(2027, 4, 1, 12, 0, 0, TimeSpan.Zero);

    [Theory]
    [InlineData(0, 0, false)]
    [InlineData(1, 0, true)]
    [InlineData(1, 1, true)]
    [InlineData(20, 21, false)]
    [InlineData(20, -1, false)]
    [InlineData(10_000, 3, true)]
    [InlineData(10_001, 3, false)]
    public void Curled_shoots_are_some_of_those_looked_at_and_nobody_looks_at_more_than_ten_thousand(int shoots, int curled, bool sound) =>
        Assert.Equal(sound, Fault(new ScoutEntry(9, "south-wall", "white-peach", Today, shoots, curled, null)) is null);

    // What was said of a day before stands before it; and a tree that flowers is dormant no more.
    [Theory]
    [InlineData(1, 0, 0, false)]
    [InlineData(0, 1, 0, true)]
    [InlineData(1, 1, 1, true)]
    [InlineData(69, 0, 10, false)]
    [InlineData(69, 9, 10, true)] // Leaf buds and flowers go each their own way.
    [InlineData(50, 0, 10, true)]
    [InlineData(0, 69, 10, true)]
    [InlineData(0, 69, -10, false)]
    public void A_stage_runs_backwards_also_within_a_day_and_after_flowers(int before, int code, int daysLater, bool sound)
    {
        var seen = new StageEntry(1, "south-wall", "white-peach", Today.AddDays(-20), before);
        var fault = Fault(new StageEntry(0, "south-wall", "white-peach", seen.On.AddDays(daysLater), code), seen);

        Assert.Equal(sound, fault is null);
        if (fault is not null)
            Assert.Contains("would run backwards: entry 1 has", fault, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(300, true)]
    [InlineData(301, false)]
    public void Far_more_mixture_than_a_planting_is_used_to_is_asked_about(double litres, bool sound)
    {
        var site = new Site
        {
            Id = "south-wall",
            Plantings = [new Planting("white-peach") { SprayVolumeL = 6 }],
            Products = [new SprayProduct { Id = "copper", Name = "copper", Active = ActiveIngredient.Copper, DosePerL = 2 }],
        };
        var fault = JournalCheck.Against(new SprayEntry(0, "south-wall", "white-peach", Today, "copper", litres), [], Now, site);

        Assert.Equal(
            sound ? null : "301 L is more than 50 times the usual 6 L of white-peach; is the number right? If it is, correct "
                + "spray_volume in the garden file first.",
            fault?.What.Text);
    }

    // 12:00 UTC is 14:00 by summer time, which began on 28 March at 02:00 (Directive 2000/84/EC: the last Sunday of March, 01:00 UTC).
    [Theory]
    [InlineData("2027-04-01", "14:10", null)]
    [InlineData("2027-04-01", "14:11", "14:11 is still to come today; the journal takes what has been done or seen.")]
    [InlineData("2027-03-31", "23:50", null)]
    [InlineData("2027-03-28", "01:59", null)]
    [InlineData("2027-03-28", "02:30", "There was no 02:30 on 2027-03-28: the clocks went forward then.")]
    [InlineData("2027-03-28", "03:00", null)]
    public void A_spray_ended_when_the_clock_has_shown_it(string on, string at, string? said)
    {
        var spray = new SprayEntry(0, "south-wall", "white-peach", DateOnly.Parse(on, CultureInfo.InvariantCulture), "copper", 5)
        {
            At = TimeOnly.Parse(at, CultureInfo.InvariantCulture),
        };
        var site = new Site
        {
            Id = "south-wall",
            Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"),
            Products = [new SprayProduct { Id = "copper", Name = "copper", Active = ActiveIngredient.Copper, DosePerL = 2 }],
        };

        Assert.Equal(said, JournalCheck.Against(spray, [], Now, site)?.What.Text);
    }

    [Fact]
    public void A_symptom_needs_a_shoot_that_has_it()
    {
        var curled = new ScoutEntry(9, "south-wall", "white-peach", Today, 20, 1, SymptomStage.Curled);

        Assert.Null(Fault(curled));
        Assert.StartsWith("A symptom was named but no shoot is curled", Fault(curled with { Curled = 0 }), StringComparison.Ordinal);
        Assert.Null(Fault(curled with { Curled = 0, Symptom = null }));
    }

    [Theory]
    [InlineData(0, true)]
    [InlineData(100, true)]
    [InlineData(-0.1, false)]
    [InlineData(100.1, false)]
    [InlineData(double.NaN, false)]
    public void A_share_of_leaves_is_a_percentage(double pct, bool sound) =>
        Assert.Equal(sound, Fault(new LeafFallEntry(9, "south-wall", "white-peach", Today, pct)) is null);

    [Theory]
    [InlineData("2027-04-01", true)]
    [InlineData("2027-04-02", false)]
    [InlineData("2007-04-01", true)]
    [InlineData("2007-03-31", false)]
    public void A_day_lies_within_the_last_twenty_years(string on, bool sound)
    {
        var entry = Stage(9, on, 0);

        var fault = JournalCheck.Against(entry, [], Now, new Site { Id = "south-wall", LatitudeDeg = 46.05 });
        Assert.Equal((sound, !sound), (fault is null, fault is { IsOfDay: true }));
        Assert.Null(JournalCheck.Fault(entry, [], null, North)); // Beside a log of some other year.
    }

    [Fact]
    public void Only_the_same_tree_speaks_against_an_entry()
    {
        var spray = new SprayEntry(9, "south-wall", "white-peach", Today, "copper", 5);
        string? Beside(JournalEntry other) => JournalCheck.Fault(spray, [other], Today, North);

        Assert.NotNull(Beside(spray with { Number = 1 }));
        Assert.Null(Beside(spray)); // Itself.
        Assert.Null(Beside(spray with { Number = 1, Planting = "gate-nectarine" }));
        Assert.Null(Beside(spray with { Number = 1, Site = "north-bed" }));
        Assert.Null(Beside(spray with { Number = 1, Product = "oil" }));
        Assert.Null(Beside(spray with { Number = 1, On = Today.AddDays(-1) }));
    }

    [Theory]
    [InlineData(1, "2027-03-25", 9, "2027-03-20", false)]
    [InlineData(9, "2027-03-15", 3, "2027-03-20", false)] // Written later, of an earlier day.
    [InlineData(9, "2027-03-20", 9, "2027-03-25", true)]
    [InlineData(9, "2027-03-25", 3, "2027-03-25", true)] // On one day both may be seen.
    [InlineData(9, "2027-03-25", 51, "2027-03-20", true)]
    [InlineData(51, "2027-03-25", 59, "2027-03-20", false)]
    [InlineData(95, "2026-11-10", 97, "2026-11-05", false)]
    [InlineData(91, "2026-11-10", 9, "2026-10-05", true)]
    public void Each_of_leaves_flowers_and_leaf_fall_only_goes_forward(int code, string on, int other, string otherOn, bool sound) =>
        Assert.Equal(sound, JournalCheck.Fault(Stage(9, on, code), [Stage(1, otherOn, other)], Today, North) is null);

    [Theory]
    [InlineData(199, false)]
    [InlineData(200, true)]
    public void Without_a_place_stages_200_days_apart_are_of_two_years(int days, bool sound)
    {
        var later = Stage(9, "2027-03-25", 1);
        var earlier = Stage(1, later.On.AddDays(-days).ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture), 9);

        Assert.Equal(sound, JournalCheck.Fault(later, [earlier], Today, new SeasonCalendar(null)) is null);
    }

    [Fact]
    public void Codes_that_say_nothing_of_a_tree_are_refused()
    {
        Assert.StartsWith("BBCH 99 is harvested fruit", Fault(Stage(9, "2027-03-25", 99)), StringComparison.Ordinal);
        Assert.Matches("^Stone fruit has no BBCH code 08; near it are 09 .*, 10 .*, 11 ", Fault(Stage(9, "2027-03-25", 8)));
    }

    [Fact]
    public void A_shelter_goes_on_and_off_in_turn()
    {
        JournalEntry[] others = [Shelter(1, "2026-11-20", true), Shelter(2, "2027-03-01", false)];
        string? Beside(ShelterEntry entry) => JournalCheck.Fault(entry, others, Today, North);

        Assert.Null(Beside(Shelter(9, "2027-03-02", true)));
        Assert.Equal(
            "The shelter on white-peach is off already since 2027-03-01, by entry 2. If that day is wrong, add this one with --corrects 2.",
            Beside(Shelter(9, "2027-03-02", false)));
        Assert.StartsWith(
            "The shelter on white-peach is on already since 2026-11-20",
            Beside(Shelter(9, "2026-11-20", true)),
            StringComparison.Ordinal);
        Assert.Null(Beside(Shelter(9, "2026-11-19", false))); // A season that began before the journal.
    }

    private static string? Fault(JournalEntry entry, params JournalEntry[] others) => JournalCheck.Fault(entry, others, Today, North);

    private static ShelterEntry Shelter(long number, string on, bool isOn) => new(number, "south-wall", "white-peach", Date(on), isOn);

    private static StageEntry Stage(long number, string on, int code) => new(number, "south-wall", "white-peach", Date(on), code);

    private static DateOnly Date(string on) => DateOnly.ParseExact(on, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
}
