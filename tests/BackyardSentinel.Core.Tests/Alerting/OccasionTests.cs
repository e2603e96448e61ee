using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

/// <summary>What each occasion is: how urgent, how long of use, what it is an episode of, and the facts it tells.</summary>
public class OccasionTests
{
    private static readonly DateTimeOffset At = new(2027, 2, 1, 6, 0, 0, TimeSpan.Zero);

    private static readonly DateOnly Day = new(2027, 2, 10);

    [Fact]
    public void Levels_to_come_and_found()
    {
        var ahead = new WindowAhead(Told.Site, Told.Tree, At, Level.Likely, At.AddHours(9), 14.5, 6, 9, At.AddHours(-1))
        {
            Rule = RuleName.TwoDay.Word(),
        };
        Check(
            ahead, "south-wall/white-peach/ahead/20270201", (int)Level.Likely, Urgency.Normal, TimeSpan.FromHours(9),
            "level=Likely level_number=3 expected_at=02-01T15 issued=02-01T05 rule=two-day variant_of= "
                + "wet_hours=14.5 rain=6 mean_temp=9 cover=");
        Assert.Equal(
            (Urgency.Low, Urgency.Normal), ((ahead with { Cover = Cover.Fresh }).Urgency, (ahead with { Cover = Cover.Spent }).Urgency));
        Assert.Equal(Level.Likely, ahead.Level);

        var risen =
            Told.Risen(Level.Severe, 6) with { WetHours = 30, RainMm = 8, MeanTempC = 9, FractionReached = 0.999, Cover = Cover.Recheck };
        Check(
            risen, "south-wall/white-peach/window/20270201T000000Z", (int)Level.Severe, Urgency.High, TimeSpan.FromDays(3),
            "level=Severe level_number=4 from=Building since=02-01T06 fell_at= spell_start=02-01T00 rule=wet-hours variant_of= "
                + "wet_hours=30 rain=8 mean_temp=9 fraction_pct=99 cover=recheck uncertain=False no_rain_gauge=False "
                    + "sheltered=False stage_sure=True awaits_leaves=False others= "
                + "look_from=2027-02-10");
        Assert.True(risen.IsSevere);
        Assert.False((risen with { To = Level.Likely }).IsSevere);
    }

    [Fact]
    public void Other_rules_are_told_where_one_judges_otherwise()
    {
        Dictionary<string, Level> Opinions(Level other) =>
            new() { [RuleName.WetHours.Word()] = Level.Likely, [RuleName.RainDay.Word()] = Level.Likely, [RuleName.TwoDay.Word()] = other };
        string Others(Level other) => Facts(Told.Risen(Level.Likely, 6) with { Opinions = Opinions(other) }).Split(' ')[^2];

        Assert.Equal("others=", Others(Level.Likely));
        Assert.Equal("others=rain-day:Likely,two-day:Clear", Others(Level.Clear));
    }

    [Theory]
    [InlineData(15, 0, Urgency.Normal)]
    [InlineData(14, 1, Urgency.Normal)]
    [InlineData(8, 1, Urgency.Normal)]
    [InlineData(7, 2, Urgency.Normal)]
    [InlineData(4, 2, Urgency.Normal)]
    [InlineData(3, 3, Urgency.High)]
    public void A_deadline_grows_urgent(int daysLeft, int rung, Urgency urgency) =>
        Check(
            new SprayDeadlineNear(Told.Site, Told.Tree, At, Day, Day.AddDays(-6), Day.AddDays(6), daysLeft),
            "south-wall/white-peach/deadline/2027", rung, urgency, new DateTimeOffset(2027, 2, 17, 0, 0, 0, TimeSpan.Zero) - At,
            $"days_left={daysLeft} expected_swell=2027-02-10 early_swell=2027-02-04 late_swell=2027-02-16");

    [Fact]
    public void A_winters_swell_is_of_one_year_on_both_sides_of_new_year() =>
        Assert.Equal(
            ["deadline/2026", "deadline/2027", "deadline/2027"],
            new DateOnly[] { new(2026, 11, 1), new(2026, 11, 2), new(2027, 2, 1) }
                .Select(day => new SprayDeadlineNear(Told.Site, Told.Tree, At, day, day, day, 5).Story));

    [Fact]
    public void Sprays_and_their_cover()
    {
        Check(
            new SprayLastChance(Told.Site, Told.Tree, At, Day, Day.AddDays(-6), Day.AddDays(6)),
            "south-wall/white-peach/deadline/2027", 4, Urgency.High, new DateTimeOffset(2027, 2, 17, 0, 0, 0, TimeSpan.Zero) - At,
            "expected_swell=2027-02-10 early_swell=2027-02-04 late_swell=2027-02-16");
        // Of use for two days at least, also when the late end has passed.
        var passed = new SprayLastChance(Told.Site, Told.Tree, At, Day.AddDays(-20), Day.AddDays(-26), Day.AddDays(-15));
        Assert.Equal(At.AddDays(2), passed.UsefulUntil);

        Check(
            new SpraySlotFound(Told.Site, Told.Tree, At, "copper", At.AddHours(3), At.AddHours(8))
            {
                ProductName = "Copper",
                Serves = "late-winter spray",
                Deadline = Day,
            },
            "south-wall/white-peach/slot/copper/20270201", 0, Urgency.Normal, TimeSpan.FromHours(8),
            "product=copper:Copper start=02-01T09 end=02-01T14 serves=late-winter+spray deadline=2027-02-10 repeat=False "
                + "copper_this_season=");
        Check(
            new CoverToRecheck(Told.Site, Told.Tree, At, "copper", 26, Day),
            "south-wall/white-peach/cover/copper/20270210", 0, Urgency.Low, TimeSpan.FromDays(7),
            "product=copper:copper rain=26 sprayed_on=2027-02-10 cover=recheck");
        Check(
            new CoverSpent(Told.Site, Told.Tree, At, "copper", 51, Day),
            "south-wall/white-peach/cover/copper/20270210", 1, Urgency.Normal, TimeSpan.FromDays(7),
            "product=copper:copper rain=51 sprayed_on=2027-02-10 cover=spent");
    }

    [Theory]
    [InlineData(4, 0)]
    [InlineData(3, 1)]
    public void The_spray_at_leaf_fall_is_told_again_three_days_before_its_end(int daysLeft, int rung) =>
        Check(
            new LeafFallSprayDue(Told.Site, Told.Tree, At, 2027, Day, daysLeft, Day.AddDays(-30), Guessed: true),
            "south-wall/white-peach/leaf-fall-spray/2027", rung, Urgency.Normal, new DateTimeOffset(
                2027, 2, 11, 0, 0, 0, TimeSpan.Zero) - At,
            $"by=2027-02-10 days_left={daysLeft} leaves_down_on=2027-01-11 guessed=True");

    [Theory]
    [InlineData(8, 0, Urgency.Normal)]
    [InlineData(7, 1, Urgency.High)]
    [InlineData(1, 1, Urgency.High)]
    [InlineData(0, 2, Urgency.High)]
    public void A_shelter_grows_urgent(int daysLeft, int rung, Urgency urgency)
    {
        Check(
            new ShelterDue(Told.Site, Told.Tree, At, 2027, Day, daysLeft, Guessed: false),
            "south-wall/white-peach/shelter/2027", rung, urgency, TimeSpan.FromDays(14),
            $"by=2027-02-10 days_left={daysLeft} guessed=False");
        var late = new ShelterDue(Told.Site, Told.Tree, At, 2027, new DateOnly(2027, 2, 20), daysLeft, Guessed: false);
        Assert.Equal(new DateTimeOffset(2027, 2, 21, 0, 0, 0, TimeSpan.Zero), late.UsefulUntil);
        // A day that ends some hours after the two weeks is later, too.
        Assert.Equal(
            new DateTimeOffset(2027, 2, 16, 0, 0, 0, TimeSpan.Zero), (late with { By = new DateOnly(2027, 2, 15) }).UsefulUntil);
        Assert.Equal(At.AddDays(14), (late with { By = null }).UsefulUntil);
    }

    [Fact]
    public void Looks_and_the_end_of_the_season()
    {
        var scouting = new ScoutingDue(
            Told.Site, Told.Tree, At, At.AddDays(-20), Day, Day.AddDays(7))
        { MayNotDevelop = true, Likely = true };
        Check(
            scouting, "south-wall/white-peach/scouting/20270112T060000Z", 1, Urgency.Normal,
            new DateTimeOffset(2027, 2, 24, 0, 0, 0, TimeSpan.Zero) - At,
            "window_opened=01-12T06 likely_from=2027-02-10 likely_to=2027-02-17 may_not_develop=True too_warm=19");
        Assert.Equal(0, (scouting with { Likely = false }).Rung);
        Check(
            new PickingDue(Told.Site, Told.Tree, At, Day),
            "south-wall/white-peach/picking/20270210", 0, Urgency.Normal, TimeSpan.FromDays(14), "curl_seen_on=2027-02-10");
        Check(
            new SeasonClosed(Told.Site, Told.Tree, At, WarmDays: true) { CurlMayShow = true },
            "south-wall/white-peach/season/2027", 0, Urgency.Low, TimeSpan.FromDays(14),
            "warm_days=True curl_may_show=True sheltered=False warm_above=22");
        Check(
            new LookAtBuds(Told.Site, Told.Tree, At, 9, true, Day, false),
            "south-wall/white-peach/buds/20270210", 0, Urgency.Normal, TimeSpan.FromDays(7),
            "code=9 expected=True on=2027-02-10 table_would_help=False seen_swelling=False");
        Check(
            new NeedsNotMet(Told.Site, Told.Tree, At, 40.5, 62.5),
            "south-wall/white-peach/needs", 0, Urgency.Low, TimeSpan.FromDays(14), "chill=40.5 need=62.5");
    }

    [Fact]
    public void Sensors_and_the_machine()
    {
        Check(
            Told.Silent("air", 9), "south-wall/silence/air/20270201T060000Z", 0, Urgency.Normal, TimeSpan.FromDays(2),
            "series=air quantity=Temperature since=02-01T06 unheard=False late=False");
        Check(
            Told.Back("air", 9, 12), "south-wall/silence/air/20270201T060000Z", 1, Urgency.Low, TimeSpan.FromDays(1),
            "series=air quantity=Temperature silent_since=02-01T06 late=False");
        Check(
            new SensorsSilent(Told.Site, At, 4, At.AddHours(-3)), "south-wall/hub/20270201T030000Z", 0, Urgency.High, TimeSpan.FromDays(2),
            "count=4 since=02-01T03 unheard=False late=False");
        Check(
            new SensorsBack(Told.Site, At, At.AddHours(-3), 3, 1), "south-wall/hub/20270201T030000Z", 1, Urgency.Low, TimeSpan.FromDays(1),
            "silent_since=02-01T03 back=3 still_silent=1 late=False");
        Check(
            new SensorStuck(Told.Site, At, "air", Quantity.Humidity, 71, At.AddHours(-12)),
            "south-wall/stuck/air/20270131T180000Z", 0, Urgency.Normal, TimeSpan.FromDays(2),
            "series=air quantity=Humidity value=Humidity:71 since=01-31T18");
        Check(new DiskLow(At, 90), "garden/disk/20270201T000000Z", 0, Urgency.High, TimeSpan.FromDays(2), "free_mb=90");
        Check(
            new AlertPathDead(At, At.AddHours(-24)), "garden/alert-path/20270131T060000Z", 0, Urgency.High, TimeSpan.FromDays(2),
            "since=01-31T06");
        Check(
            new ClockWrong(At, TimeSpan.FromMinutes(-7)), "garden/clock/20270201T060000Z", 0, Urgency.High, TimeSpan.FromDays(2),
            "off_by_minutes=-7 ahead=False");
        Assert.Equal("off_by_minutes=7 ahead=True", Facts(new ClockWrong(At, TimeSpan.FromMinutes(7))));
    }

    private static void Check(Occasion one, string episode, int rung, Urgency urgency, TimeSpan use, string facts)
    {
        Assert.Equal((episode, rung, urgency, one.At + use), (one.Episode, one.Rung, one.Urgency, one.UsefulUntil));
        Assert.Equal(facts, Facts(one));
    }

    private static string Facts(Occasion one)
    {
        var list = new FactList();
        one.WriteFacts(list);
        return string.Join(' ', list);
    }

    /// <summary>The facts as one line, each as name=value.</summary>
    private sealed class FactList : List<string>, IFactWriter
    {
        public void Text(string name, string? text) => Note(name, text?.Replace(' ', '+'));

        public void Named(string name, string id, string called) => Note(name, $"{id}:{called}");

        public void Flag(string name, bool holds) => Note(name, holds);

        public void Whole(string name, long? number) => Note(name, number);

        public void Tenths(string name, double? number) => Note(name, number);

        public void Unsure(string name, double number) => Note(name, number);

        public void Rain(string name, double? rainMm) => Note(name, rainMm);

        public void Temperature(string name, double? temperatureC) => Note(name, temperatureC);

        public void Value(string name, Quantity quantity, double value) => Note(name, FormattableString.Invariant($"{quantity}:{value}"));

        public void Offset(string name, TimeSpan by) => Note(name, by.TotalMinutes);

        public void Moment(string name, DateTimeOffset? moment) =>
            Note(name, moment?.ToString("MM-dd'T'HH", CultureInfo.InvariantCulture));

        void IFactWriter.Day(string name, DateOnly? day) => Note(name, day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));

        public void Level(string name, Level level) => Note(name, level);

        public void Levels(string name, IReadOnlyDictionary<string, Level>? levels) =>
            Note(name, levels is null ? null : string.Join(',', levels.OrderBy(one => one.Key).Select(one => $"{one.Key}:{one.Value}")));

        public void Stage(string name, int code) => Note(name, code);

        public void Series(string name, string series) => Note(name, series);

        public void Sensor(string name, Quantity quantity, int rank) => Note(name, $"{quantity}:{rank}");

        public void CopperPerArea(string name, double? kgPerHa) => Note(name, kgPerHa);

        public void Quantity(string name, Quantity quantity) => Note(name, quantity);

        private void Note(string name, object? value) => Add(FormattableString.Invariant($"{name}={value}"));
    }
}
