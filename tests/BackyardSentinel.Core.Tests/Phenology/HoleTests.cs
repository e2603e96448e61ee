namespace BackyardSentinel.Tests.Phenology;

/// <summary>
/// What a hole in the log does to the three trees, worked out by hand on needs counted in plain hours: a chilling hour lies at
/// 0 to 7.2 °C, warmth is counted above 4.7 °C. What a hole may have brought is assumed: an hour of chill an hour at most, and
/// the warmth of the warmest day beside it and 72 degree hours a day.
/// </summary>
public class HoleTests
{
    private static readonly DateTimeOffset November = Winter.Utc(2026, 11, 1);

    // Three hours are drawn as a straight line when data return, also across midnight, and behind a season's first hour.
    [Theory]
    [InlineData(22, 1, 0)]
    [InlineData(21, 1, 0)]
    [InlineData(22, 3, 0)]
    [InlineData(20, 3, 0)]
    [InlineData(22, 4, 4)]
    public void A_short_gap_across_midnight_is_no_hole(int firstHour, int gap, int unknown)
    {
        var model = new StageModel(StageNeeds.Default, Winter.North, TimeZoneInfo.Utc, []);
        var until = Winter.Utc(2026, 11, 1, 23);
        for (var at = Winter.Utc(2026, 11, 1, firstHour); at < until; at = at.AddHours(1))
            model.Add(new HourTemperature(at, 5, HourSource.Measured));
        model.AdvanceTo(until.AddHours(gap));
        var source = gap <= HourlyTemperature.LongestStraightGapHours ? HourSource.Interpolated : HourSource.Curve;
        for (var i = 0; i < gap; i++)
            model.Add(new HourTemperature(until.AddHours(i), 5, source));
        model.Add(new HourTemperature(until.AddHours(gap), 5, HourSource.Measured));

        Assert.Equal(unknown, model.UnknownChillHours);
    }

    [Theory]
    [InlineData(StageBound.Expected, null, 100, 99.0)]
    [InlineData(StageBound.Expected, 12.4, 100, 99.0)]
    [InlineData(StageBound.Expected, 12.5, 0, null)]
    [InlineData(StageBound.Earliest, null, 90, 89.0)]
    [InlineData(StageBound.Earliest, 10.9, 90, 89.0)]
    [InlineData(StageBound.Earliest, 11.0, 70, 69.0)]
    [InlineData(StageBound.Earliest, 12.0, 0, null)]
    [InlineData(StageBound.Latest, 12.9, 110.1, 109.9)]
    [InlineData(StageBound.Latest, 13.0, 0, null)]
    public void Each_tree_asks_for_its_share_of_chill_until_days_are_long(
        StageBound bound, double? lengtheningHours, double enough, double? tooLittle)
    {
        Assert.True(Met(enough).ChillMetOn is not null);
        if (tooLittle is { } little)
            Assert.Null(Met(little).ChillMetOn);
        Assert.Equal(tooLittle is null, Met(enough).ByHeatAlone);

        StageTrack Met(double chill)
        {
            var track = new StageTrack(Needs(100, 50, spread: 0.1), bound);
            track.Add(new DateOnly(2027, 3, 1), Winter.Utc(2027, 3, 1, 1), chill, 1, lengtheningHours);
            return track;
        }
    }

    [Fact]
    public void A_hole_may_have_brought_an_hour_of_chill_each_hour_or_none()
    {
        // 10 °C brings no chill; then two days are lost, and from 3 November on it is 5 °C.
        var dates = Swell(Needs(100, 1), Log(10, November, lostHours: 48, after: 5));

        // 48 h and 52 more; 100 from 3 November on; without a usual year the latest tree is given nothing of the hole.
        Assert.Equal((Day(5), Day(7), Day(7)), (dates.Early!.Value, dates.Expected!.Value, dates.Late!.Value));
    }

    [Fact]
    public void A_usual_year_gives_the_latest_tree_seven_tenths_of_its_chill()
    {
        var climate = DailyClimate.FromMonths(Enumerable.Repeat(5.0, 12).ToArray(), Enumerable.Repeat(5.0, 12).ToArray());
        var usual = new UsualHours(climate, TimeZoneInfo.Utc, Winter.Latitude, Winter.Longitude);

        // 0.7 of 48 h are 33.6; 67 h more make 100.6 on 5 November.
        Assert.Equal(Day(5), Swell(Needs(100, 1), Log(10, November, lostHours: 48, after: 5), usual).Late);
    }

    [Fact]
    public void What_was_lost_is_taken_from_the_same_hours_of_the_days_beside_it()
    {
        // 4 °C before and 10 °C after: 7 °C stands in, and 48 h of it are chill; 4 °C until then is none of the need's time.
        var dates = Swell(Needs(40, 1), Log(4, November, lostHours: 48, after: 10));

        Assert.Equal(Day(2), dates.Expected);
    }

    // By hand: 10 °C for a day is 127.2 degree hours; with 72 more 8.3 an hour, 398.4 in two days.
    [Theory]
    [InlineData(10, 398, true)]
    [InlineData(10, 399, false)]
    [InlineData(11, 145, false)] // A warm day farther off says nothing: 72 a day, 144 in two days.
    [InlineData(11, 143, true)]
    public void The_warmest_day_of_the_ten_beside_a_hole_bounds_its_warmth(int daysBefore, double need, bool mayHave)
    {
        // Chill is met before; 4.7 °C brings no warmth.
        var hole = Winter.Utc(2026, 11, 20);
        var warmDay = hole.AddDays(-daysBefore);
        var hours = Hours(Winter.Utc(2026, 9, 1), hole, at => at >= warmDay && at < warmDay.AddDays(1) ? 10 : 4.7)
            .Concat(Hours(hole.AddHours(48), Winter.Utc(2026, 12, 20), _ => 4.7));
        var dates = Swell(Needs(1, need + 127.2), hours);

        // The warm day's own warmth was counted.
        Assert.Equal(mayHave ? Day(21) : null, dates.Early);
        Assert.Null(dates.Late);
    }

    // The same after the hole: once the warm day is known the hole is reckoned again. It lasts from 20 to 21 November.
    [Theory]
    [InlineData(10, 398, true)]
    [InlineData(10, 399, false)]
    [InlineData(11, 143, true)]
    [InlineData(11, 145, false)]
    public void A_warm_day_after_a_hole_bounds_its_warmth_too(int daysAfter, double need, bool mayHave)
    {
        var hole = Winter.Utc(2026, 11, 20);
        var warmDay = hole.AddDays(1 + daysAfter);
        var hours = Hours(Winter.Utc(2026, 9, 1), hole, _ => 4.7)
            .Concat(Hours(hole.AddHours(48), warmDay.AddDays(15), at => at >= warmDay && at < warmDay.AddDays(1) ? 10 : 4.7));

        var dates = Swell(Needs(1, need + 127.2), hours);

        Assert.Equal(mayHave ? DateOnly.FromDateTime(warmDay.UtcDateTime) : null, dates.Early);
    }

    [Fact]
    public void Three_hours_before_midnight_that_come_after_it_are_no_hole()
    {
        var hours = Hours(Winter.Utc(2026, 9, 1), November.AddDays(10), _ => 5).ToList();
        var model = new StageModel(Needs(100, 1), new SeasonCalendar(Winter.Latitude), TimeZoneInfo.Utc, []);
        foreach (var hour in hours)
        {
            // Nothing was heard from nine in the evening on, and the clock has come to midnight.
            if (hour.Start == November.AddHours(21))
                model.AdvanceTo(November.AddHours(24));
            model.Add(hour);
        }

        Assert.Equal(0, model.UnknownChillHours);
        Assert.Equal(model.DatesOf(BudStage.LeafBudSwell).Early, model.DatesOf(BudStage.LeafBudSwell).Late);
    }

    [Fact]
    public void Three_hours_are_no_hole()
    {
        var lost = Hours(Winter.Utc(2026, 9, 1), November.AddHours(10), _ => 5)
            .Concat(Hours(November.AddHours(13), November.AddDays(10), _ => 5, HourSource.Measured))
            .ToList();
        var filled = new List<HourTemperature>(lost);
        filled.InsertRange(
            lost.FindIndex(hour => hour.Start > November.AddHours(10)),
            Hours(November.AddHours(10), November.AddHours(13), _ => 5, HourSource.Interpolated));

        var dates = Swell(Needs(100, 1), filled);
        Assert.Equal(dates.Early, dates.Late);
        Assert.Equal(Day(5), dates.Expected);
    }

    [Fact]
    public void A_winter_that_was_measured_and_fell_short_is_told_and_one_with_a_long_hole_is_not()
    {
        NeedsOf(lostHours: 72, told: true);
        NeedsOf(lostHours: 73, told: false);

        static void NeedsOf(int lostHours, bool told)
        {
            // Nothing stands in where the log begins late: so many hours since 1 November are not known.
            var model = new StageModel(Needs(3000, 1), new SeasonCalendar(Winter.Latitude), TimeZoneInfo.Utc, []);
            foreach (var hour in Hours(November.AddHours(lostHours), Winter.Utc(2027, 4, 20), _ => 10))
                model.Add(hour);

            Assert.Equal((lostHours, true, told), (model.UnknownChillHours, model.ByHeatAlone, model.NeedsNotMet));
        }
    }

    [Fact]
    public void Hours_known_within_a_hole_bring_the_tree_forward_by_no_more_than_the_hole_would()
    {
        // 25 °C brings no chill: one such hour in six over ten days is no chance for more of it. The ten days of the hole bring
        // 9 portions at most, one in 30 h and one for the hole (assumed).
        StageDates Of(Func<DateTimeOffset, bool> known) => Swell(
            StageNeeds.TryCreate(
                ChillModel.Portions, 12, HeatFunction.Linear47, [new(BudStage.LeafBudSwell, null, 1)], 0, out var needs, out var reason)
                ? needs
                : throw new ArgumentException(reason),
            Hours(Winter.Utc(2026, 9, 1), Winter.Utc(2027, 2, 1), _ => 25).Where(hour =>
                hour.Start < November.AddDays(1) || hour.Start >= November.AddDays(11) || known(hour.Start)));

        Assert.Null(Of(_ => false).Early);
        Assert.Null(Of(at => at.Hour % 6 == 0).Early);
    }

    [Fact]
    public void A_log_that_begins_with_the_chill_has_nothing_in_store_and_one_that_begins_a_day_later_may_have()
    {
        static double Chill(DateTimeOffset from)
        {
            var model = new StageModel(StageNeeds.Default, new SeasonCalendar(Winter.Latitude), TimeZoneInfo.Utc, []);
            foreach (var hour in Hours(from, from.AddDays(30), _ => 6))
                model.Add(hour);
            return model.ChillSum;
        }

        var alone = new DynamicModel();
        for (var i = 0; i < 30 * 24; i++)
            alone.Add(6);

        Assert.Equal(alone.Portions, Chill(November), 9);
        Assert.True(Chill(November.AddDays(1)) > alone.Portions + 0.4);
    }

    [Fact]
    public void A_stage_logged_again_is_taken_and_one_behind_it_is_not()
    {
        var year = Winter.Hours(Winter.Utc(2026, 9, 1), 240).ToList();
        var told = new Told(year, [(new(2027, 3, 1), 9), (new(2027, 3, 5), 9), (new(2027, 3, 6), 3)]);

        var doubt = Assert.Single(told.Model.Doubts);
        Assert.StartsWith("Stage 03 logged for 2027-03-06 lies behind stage 09", doubt, StringComparison.Ordinal);
        Assert.Equal(2, told.Stages.Count(stage => stage is { Source: StageSource.Logged, Stage.Code: 9 }));
        Assert.Equal(new DateOnly(2027, 3, 1), told.Model.GreenTipOn);
    }

    [Fact]
    public void The_source_of_a_stage_is_what_moved_it_last()
    {
        var year = Winter.Hours(Winter.Utc(2026, 9, 1), 240).ToList();
        List<StageSource> sources = [];
        _ = new Told(year, [(new(2027, 3, 1), 9)], afterHour: model => sources.Add(model.Source));

        Assert.Equal(
            [StageSource.Computed, StageSource.Logged, StageSource.Computed],
            sources.Where((source, i) => i == 0 || source != sources[i - 1]));
    }

    private static StageNeeds Needs(double chillHours, double degreeHours, double spread = 0) =>
        StageNeeds.TryCreate(
            ChillModel.Hours,
            chillHours,
            HeatFunction.Linear47,
            [new(BudStage.LeafBudSwell, null, degreeHours)],
            spread,
            out var needs,
            out var reason)
            ? needs
            : throw new ArgumentException(reason);

    private static StageDates Swell(StageNeeds needs, IEnumerable<HourTemperature> hours, UsualHours? usual = null)
    {
        var model = new StageModel(needs, new SeasonCalendar(Winter.Latitude), TimeZoneInfo.Utc, [], null, usual);
        foreach (var hour in hours)
            model.Add(hour);
        return model.DatesOf(BudStage.LeafBudSwell);
    }

    private static IEnumerable<HourTemperature> Log(double before, DateTimeOffset hole, int lostHours, double after) =>
        Hours(Winter.Utc(2026, 9, 1), hole, _ => before).Concat(Hours(hole.AddHours(lostHours), hole.AddDays(20), _ => after));

    private static IEnumerable<HourTemperature> Hours(
        DateTimeOffset from, DateTimeOffset to, Func<DateTimeOffset, double> tempC, HourSource source = HourSource.Measured)
    {
        for (var at = from; at < to; at = at.AddHours(1))
            yield return new HourTemperature(at, tempC(at), source);
    }

    private static DateOnly Day(int day) => new(2026, 11, day);
}
