using BackyardSentinel.Scouting;
using BackyardSentinel.Tuning;

namespace BackyardSentinel.Tests.Tuning;

public class VerificationTests
{
    private static readonly DateOnly Opened = new(2027, 3, 10);

    private static InfectionWindow Window(DateOnly? on = null, string planting = "white-peach", int hour = 6) =>
        new(
            planting,
            RuleName.WetHours.Word(),
            new DateTimeOffset((on ?? Opened).ToDateTime(new TimeOnly(hour, 0)), TimeSpan.Zero),
            null,
            Level.Likely,
            0.5,
            20,
            8,
            9,
            false,
            false);

    private static ScoutEntry Look(int day, int curled, string planting = "white-peach") =>
        new(1, "south-wall", planting, Opened.AddDays(day), 20, curled);

    private static Verification Verify(InfectionWindow[] windows, params ScoutEntry[] looks) =>
        new(windows, looks, TimeZoneInfo.Utc, day => day.Month >= 9 ? day.Year + 1 : day.Year, _ => Open(), _ => true);

    /// <summary>Tissue that can be infected all year.</summary>
    private static SymptomDays Open(int? leavesAfter = null)
    {
        var days = new SymptomDays();
        for (var day = -400; day < 200; day++)
            days.NoteOpen(Opened.AddDays(day));
        if (leavesAfter is { } after)
            days.NoteLeaves(new SeasonCalendar(46).SeasonOf(Opened), Opened.AddDays(after), Opened.AddDays(after));
        return days;
    }

    // Finley's tornado forecasts of 1884 (28 hits, 72 false alarms, 23 misses, 2680 correct negatives), the standard
    // example of the textbooks: POD 0.549, FAR 0.720, CSI 0.228, Peirce 0.523; from memory.
    [Fact]
    public void Finleys_tornadoes_score_as_in_the_textbooks()
    {
        Assert.Equal(0.549, Verification.PodOf(28, 23)!.Value, 5e-4);
        Assert.Equal(0.720, Verification.FarOf(28, 72)!.Value, 5e-4);
        Assert.Equal(0.228, Verification.CsiOf(28, 23, 72)!.Value, 5e-4);
        Assert.Equal(0.523, Verification.PeirceOf(28, 23, 72, 2680)!.Value, 5e-4);
    }

    [Fact]
    public void A_look_counts_once_however_often_it_was_written_down_and_curl_that_somebody_found_stays_found()
    {
        Assert.Equal(1, Verify([], Look(5, 0), Look(5, 0)).CorrectNegatives);
        Assert.Equal((0, 1), Verify([], Look(5, 0), Look(5, 7)) is var both ? (both.CorrectNegatives, both.Misses) : default);
        Assert.Equal(2, Verify([], Look(5, 0), Look(6, 0)).CorrectNegatives);
    }

    // Giosuè and others 2000 (abstract): symptoms 9 to 33 days after infection.
    [Theory]
    [InlineData(8, Outcome.Unverified)]
    [InlineData(9, Outcome.Hit)]
    [InlineData(23, Outcome.Hit)]
    [InlineData(33, Outcome.Hit)]
    [InlineData(34, Outcome.Unverified)]
    public void Curl_within_the_symptom_days_makes_a_hit(int day, Outcome outcome) =>
        Assert.Equal(outcome, Assert.Single(Verify([Window()], Look(day, 3)).Windows).Outcome);

    [Theory]
    [InlineData(20, 0, Outcome.Unverified)]
    [InlineData(48, 0, Outcome.Unverified)]
    [InlineData(49, 0, Outcome.FalseAlarm)]
    [InlineData(73, 2, Outcome.Hit)]
    [InlineData(74, 2, Outcome.Unverified)]
    public void Where_the_leaves_came_late_the_symptom_days_are_counted_by_them(int day, int curled, Outcome outcome)
    {
        var seen = new Verification(
            [Window()], [Look(day, curled)], TimeZoneInfo.Utc, one => one.Year, _ => Open(leavesAfter: 42), _ => true);

        Assert.Equal((outcome, 0), (seen.Windows[0].Outcome, seen.Misses));
        // Before there are leaves a clean look says nothing.
        Assert.Equal(0, seen.CorrectNegatives);
    }

    [Fact]
    public void Looking_without_finding_makes_a_false_alarm_unless_curl_shows_later_in_its_days()
    {
        Assert.Equal(Outcome.FalseAlarm, Verify([Window()], Look(12, 0)).Windows[0].Outcome);
        Assert.Equal(Outcome.Hit, Verify([Window()], Look(12, 0), Look(25, 1)).Windows[0].Outcome);
        Assert.Equal(Outcome.FalseAlarm, Verify([Window()], Look(12, 0), Look(50, 1)).Windows[0].Outcome);
        Assert.Equal(Outcome.Unverified, Verify([Window()], Look(20, 5, "gate-nectarine")).Windows[0].Outcome);
    }

    [Fact]
    public void Curl_without_a_window_before_it_is_one_miss_however_often_it_is_seen()
    {
        var seen = Verify([Window()], Look(3, 2), Look(5, 4), Look(20, 4), Look(20, 1, "gate-nectarine"), Look(27, 1, "gate-nectarine"));

        Assert.Equal((1, 2, 0, 0), (seen.Hits, seen.Misses, seen.FalseAlarms, seen.CorrectNegatives));
        Assert.Equal(1.0 / 3, seen.Pod!.Value, 12);
    }

    [Fact]
    public void Curl_that_comes_out_after_a_clean_look_wants_a_window_that_could_still_show_then()
    {
        // Found, picked, gone, and out again on the sixtieth day: the window's own curl was out by day 33.
        ScoutEntry[] looks = [Look(20, 1), Look(40, 0), Look(60, 20)];
        Assert.Equal((1, 1), Verify([Window()], looks) is var seen ? (seen.Hits, seen.Misses) : default);
        // A second window announces it, one whose days ended before the clean look does not.
        Assert.Equal((2, 0), Verify([Window(), Window(Opened.AddDays(35))], looks) is var two ? (two.Hits, two.Misses) : default);
        Assert.Equal(0, Verify([Window(), Window(Opened.AddDays(8))], looks).Misses);
        Assert.Equal(1, Verify([Window(), Window(Opened.AddDays(7))], looks).Misses);
        // Seen again and again it is the same curl, however late somebody looked first.
        Assert.Equal(0, Verify([Window()], Look(20, 1), Look(40, 1), Look(60, 20)).Misses);
        Assert.Equal(0, Verify([Window()], Look(60, 20)).Misses);
    }

    [Fact]
    public void What_could_not_be_infected_tells_nothing()
    {
        var days = new SymptomDays();
        for (var day = 0; day < 10; day++)
            days.NoteOpen(Opened.AddDays(day));
        var seen = new Verification(
            [],
            // Of the first nothing was open yet, the last fall after the days of the last open one.
            [Look(8, 0), Look(9, 0), Look(42, 0), Look(43, 0), Look(60, 2)],
            TimeZoneInfo.Utc,
            day => day.Year,
            _ => days,
            _ => true);

        Assert.Equal((2, 0, 1), (seen.CorrectNegatives, seen.Misses, seen.Blameless));
    }

    [Fact]
    public void A_covered_tree_that_stays_clean_says_nothing_against_the_rule()
    {
        var seen = Verify([Window() with { Cover = Cover.Recheck }], Look(20, 0));
        Assert.Equal((Outcome.Covered, 1, 0), (seen.Windows[0].Outcome, seen.Unverified, seen.FalseAlarms));
    }

    [Fact]
    public void Curl_after_weather_that_was_not_measured_blames_no_rule()
    {
        var seen = new Verification(
            [],
            [Look(20, 2), Look(40, 3), Look(20, 1, "gate-nectarine"), Look(60, 0, "gate-nectarine")],
            TimeZoneInfo.Utc,
            day => day.Year,
            _ => Open(),
            look => look.Planting == "gate-nectarine");

        Assert.Equal((1, 1, 1), (seen.Misses, seen.Blameless, seen.CorrectNegatives));
    }

    [Theory]
    [InlineData("2027-03-01", "2027-06-01", 0, true)]
    [InlineData("2027-03-01", "2027-06-01", 119, true)] // 25 days, of which a fifth may be missing.
    [InlineData("2027-03-01", "2027-06-01", 121, false)]
    [InlineData("2027-04-12", "2027-06-01", 0, true)]
    [InlineData("2027-04-13", "2027-06-01", 0, false)]
    [InlineData("2027-03-01", "2027-04-27", 0, true)]
    [InlineData("2027-03-01", "2027-04-26", 0, false)]
    public void A_look_tells_of_the_weather_9_to_33_days_before(string from, string to, int hoursUnknown, bool tells)
    {
        var (gap, zone) = (Utc("2027-04-10"), TimeZoneInfo.Utc);

        Assert.Equal(
            tells,
            Looks.WasMeasured(new DateOnly(2027, 5, 10), zone, Utc(from), Utc(to), [(gap, gap.AddHours(hoursUnknown))]));

        static DateTimeOffset Utc(string day) => new(DateOnly.Parse(day, CultureInfo.InvariantCulture), default, TimeSpan.Zero);
    }

    [Fact]
    public void A_window_of_last_season_announces_nothing_in_this_one() =>
        Assert.Equal(1, Verify([Window(new DateOnly(2026, 4, 1))], Look(20, 2)).Misses);

    [Fact]
    public void Counts_and_scores_are_kept_together()
    {
        var seen = Verify(
            [Window(), Window(Opened.AddDays(60)), Window(Opened.AddDays(120))],
            Look(20, 2), Look(80, 0), Look(1, 0), Look(50, 0));

        Assert.Equal((1, 1, 0, 1, 2), (seen.Hits, seen.FalseAlarms, seen.Misses, seen.Unverified, seen.CorrectNegatives));
        Assert.Equal((1.0, 0.5, 0.5), (seen.Pod!.Value, seen.Far!.Value, seen.Csi!.Value));
        Assert.Equal(1 - (1.0 / 3), seen.Peirce!.Value, 12);
    }

    [Fact]
    public void A_score_that_would_divide_by_nothing_is_missing()
    {
        var seen = Verify([Window()]);
        Assert.Equal((null, null, null, null, 1), (seen.Pod, seen.Far, seen.Csi, seen.Peirce, seen.Unverified));
    }

    [Fact]
    public void Days_are_the_gardens_own()
    {
        // 23:30 UTC on 10 March is already 11 March in Ljubljana, so 19 March is only the eighth day.
        var window = Window() with { OpenedAt = new DateTimeOffset(2027, 3, 10, 23, 30, 0, TimeSpan.Zero) };
        var zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana");
        Assert.Equal(Outcome.Unverified, OutcomeOf(Look(9, 1)));
        Assert.Equal(Outcome.Hit, OutcomeOf(Look(10, 1)));

        Outcome OutcomeOf(ScoutEntry look) =>
            new Verification([window], [look], zone, day => day.Year, _ => Open(), _ => true).Windows[0].Outcome;
    }
}
