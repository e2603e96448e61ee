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
        new(windows, looks, TimeZoneInfo.Utc, day => day.Month >= 9 ? day.Year + 1 : day.Year, (_, day0) => day0, _ => true);

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
            [Window()], [Look(day, curled)], TimeZoneInfo.Utc, one => one.Year, (_, day0) => day0.AddDays(40), _ => true);

        Assert.Equal((outcome, 0), (seen.Windows[0].Outcome, seen.Misses));
        Assert.Equal(outcome == Outcome.Unverified && curled == 0 ? 1 : 0, seen.CorrectNegatives);
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
    public void Curl_after_weather_that_was_not_measured_blames_no_rule()
    {
        var seen = new Verification(
            [],
            [Look(20, 2), Look(40, 3), Look(20, 1, "gate-nectarine"), Look(60, 0, "gate-nectarine")],
            TimeZoneInfo.Utc,
            day => day.Year,
            (_, day0) => day0,
            look => look.Planting == "gate-nectarine");

        Assert.Equal((1, 1, 1), (seen.Misses, seen.NotMeasured, seen.CorrectNegatives));
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
            new Verification([window], [look], zone, day => day.Year, (_, day0) => day0, _ => true).Windows[0].Outcome;
    }
}
