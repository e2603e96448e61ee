namespace BackyardSentinel.Tests.Phenology;

// The sequence of chill and heat after Miranda, Santesteban and Royo 2013; what a logged stage does to it is our own rule.
public class StageModelTests
{
    private static readonly List<HourTemperature> Year = [.. Winter.Hours(Winter.Utc(2026, 9, 1), 364)];

    private static readonly Told Computed = new(Year);

    [Fact]
    public void A_season_runs_through_all_stages_in_order()
    {
        Assert.Equal([1, 3, 9, 10, 11, 19], Computed.Stages.Where(stage => stage.Stage.IsLeafBud).Select(stage => stage.Stage.Code));
        Assert.Equal([51, 53, 57, 60, 65, 69], Computed.Stages.Where(stage => stage.Stage.IsFlowerBud).Select(stage => stage.Stage.Code));
        Assert.All(Computed.Stages, stage => Assert.Equal(StageSource.Computed, stage.Source));
        Assert.True(Computed.Model.ChillMetOn < Computed.Of(1).On);
        Assert.Empty(Computed.Model.Doubts);
    }

    // Independent of the model's bookkeeping: the sums written out.
    [Fact]
    public void Chill_counts_from_November_and_heat_from_the_whole_day_on_which_it_is_met()
    {
        var dynamic = new DynamicModel();
        double chill = 0, heat = 0;
        DateOnly? metOn = null;
        HourTemperature? swell = null;
        foreach (var day in Year.GroupBy(hour => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(hour.Start, Winter.Madrid).DateTime)))
        {
            var portions = day.Sum(hour => dynamic.Add(hour.TempC));
            chill += day.Key >= new DateOnly(2026, 11, 1) ? portions : 0;
            metOn ??= chill >= 62.5 ? day.Key : null;
            if (metOn is null)
                continue;
            foreach (var hour in day)
            {
                heat += Math.Max(0, hour.TempC - 4.7);
                if (swell is null && heat >= 786)
                    swell = hour;
            }
        }

        Assert.Equal(metOn, Computed.Model.ChillMetOn);
        Assert.Equal(chill, Computed.Model.ChillSum, 1e-9);
        Assert.Equal(swell!.Value.End, Computed.Of(1).At);
    }

    [Fact]
    public void The_hours_before_chill_is_met_count_if_they_are_of_the_same_day()
    {
        Assert.True(StageNeeds.TryCreate(
            ChillModel.Portions, 1, HeatFunction.Linear47, [new(BudStage.LeafBudSwell, null, 100)], 0, out var needs, out _));
        var track = new StageTrack(needs, StageBound.Expected);
        var day = new DateOnly(2027, 1, 20);
        track.Add(day.AddDays(-1), Winter.Utc(2027, 1, 20), 0, 500, null);
        track.Add(day, Winter.Utc(2027, 1, 20, 1), 0, 40, null);
        track.Add(day, Winter.Utc(2027, 1, 20, 2), 0, 40, null);
        Assert.Equal(BudStage.Dormant, track.LeafBuds.Stage);
        track.Add(day, Winter.Utc(2027, 1, 20, 3), 1, 40, null);

        Assert.Equal(120, track.LeafBuds.HeatSum);
        Assert.Equal([new(BudStage.LeafBudSwell, day, Winter.Utc(2027, 1, 20, 3))], track.LeafBuds.Passed);
    }

    [Fact]
    public void A_stage_is_reached_when_its_need_is_just_met()
    {
        Assert.True(StageNeeds.TryCreate(
            ChillModel.Portions, 1, HeatFunction.Linear47, [new(BudStage.LeafBudSwell, null, 100)], 0, out var needs, out _));
        var track = new StageTrack(needs, StageBound.Expected);
        var day = new DateOnly(2027, 1, 20);
        track.Add(day, Winter.Utc(2027, 1, 20, 1), 1, 40, null);
        track.Add(day, Winter.Utc(2027, 1, 20, 2), 0, 60, null);

        Assert.Equal(BudStage.LeafBudSwell, track.LeafBuds.Stage);
    }

    [Fact]
    public void An_early_tree_is_earlier_and_a_late_one_later()
    {
        foreach (var stage in Computed.Stages)
        {
            var dates = Computed.Model.DatesOf(stage.Stage);
            Assert.Equal((stage.Early, stage.On), (dates.Early, dates.Expected));
            Assert.True(dates.Early < dates.Expected && dates.Expected < dates.Late, dates.ToString());
            Assert.Null(stage.Late);
        }
    }

    [Fact]
    public void A_logged_stage_beats_the_sums_from_its_midnight_on_and_they_count_on_from_there()
    {
        var on = Computed.Of(3).On.AddDays(-5);
        var told = new Told(Year, [(on, 9)]);

        Assert.Equal([1, 51, 9, 57], told.Stages.Take(4).Select(stage => stage.Stage.Code));
        var logged = told.Of(9);
        Assert.Equal((StageSource.Logged, on, on), (logged.Source, logged.Early!.Value, logged.Late!.Value));
        Assert.Equal(new DateTimeOffset(on.ToDateTime(TimeOnly.MinValue), TimeSpan.FromHours(1)), logged.At);
        Assert.Equal(on, told.Model.GreenTipOn);
        // From 2557 to 4016 degree hours.
        var heat = 0.0;
        var bloom = Year.First(hour => hour.Start >= logged.At && (heat += Math.Max(0, hour.TempC - 4.7)) >= 4016 - 2557);
        Assert.Equal(bloom.End, told.Of(60).At);
    }

    [Fact]
    public void A_stage_seen_later_than_computed_takes_the_tree_back()
    {
        var on = Computed.Of(60).On.AddDays(1);
        var told = new Told(Year, [(on, 57)]);

        Assert.Equal(2, told.Stages.Count(stage => stage.Stage.Code == 60));
        Assert.Equal(2, told.Stages.Count(stage => stage.Stage.Code == 10));
        Assert.True(told.Stages.Last(stage => stage.Stage.Code == 60).On > on);
        Assert.Equal(told.Stages.Last(stage => stage.Stage.Code == 9).On, told.Model.DatesOf(BudStage.GreenTip).Expected);
    }

    [Fact]
    public void A_code_between_those_listed_lies_between_their_sums()
    {
        var on = Computed.Of(9).On;
        var told = new Told(
            Year.Where(hour => hour.Start < new DateTimeOffset(on.ToDateTime(new TimeOnly(1, 0)), TimeSpan.FromHours(1))),
            [(on, 55)]);

        // The sum was further already; it is taken back to before the next stage.
        Assert.InRange(told.Model.HeatSum, 1385 + ((2557 - 1385) / 2.0), 2557);
        Assert.Equal((3, 55), (told.Model.LeafBud!.Value.Code, told.Model.FlowerBud!.Value.Code));
        Assert.Equal(StageSource.Logged, told.Model.Source);
        // Seen early, it is set to the middle between its neighbours, and an hour's warmth comes to that.
        on = Computed.Of(1).On;
        told = new Told(
            Year.Where(hour => hour.Start < new DateTimeOffset(on.ToDateTime(new TimeOnly(1, 0)), TimeSpan.FromHours(1))),
            [(on, 55)]);
        Assert.InRange(told.Model.HeatSum, 1385 + ((2557 - 1385) / 2.0), 1385 + ((2557 - 1385) / 2.0) + 20);
    }

    [Fact]
    public void Leaf_and_flower_buds_logged_for_themselves_do_not_move_each_other()
    {
        var on = Computed.Of(3).On;
        var told = new Told(Year.Where(hour => hour.Start < Computed.Of(3).At.AddDays(1)), [(on, 57), (on, 3)]);

        Assert.Equal((3, 57), (told.Model.LeafBud!.Value.Code, told.Model.FlowerBud!.Value.Code));
    }

    [Fact]
    public void A_logged_stage_that_runs_backwards_is_ignored_with_a_sentence()
    {
        var on = Computed.Of(9).On;
        var told = new Told(Year, [(on, 9), (on.AddDays(6), 3), (on.AddDays(7), 0)]);

        Assert.Equal(2, told.Model.Doubts.Count);
        Assert.Contains($"Stage 03 logged for {on.AddDays(6):yyyy-MM-dd}", told.Model.Doubts[0], StringComparison.Ordinal);
        Assert.Equal(new Told(Year, [(on, 9)]).Stages, told.Stages);
    }

    [Fact]
    public void A_tree_seen_dormant_swells_no_earlier_than_that()
    {
        var on = Computed.Of(3).On;
        var told = new Told(Year, [(on, 0)]);

        var swell = told.Stages.Last(stage => stage.Stage.Code == 1);
        Assert.InRange(swell.On.DayNumber - on.DayNumber, 2, 14);
        Assert.Equal(told.Model.DatesOf(BudStage.LeafBudSwell).Expected, swell.On);
    }

    [Fact]
    public void The_same_stage_seen_again_holds_it_but_does_not_start_it_anew()
    {
        var on = Computed.Of(3).On;
        var again = on.AddDays(3);
        Assert.True(again < Computed.Of(9).On);

        Assert.Equal(new Told(Year, [(on, 3)]).Of(9), new Told(Year, [(on, 3), (again, 3)]).Of(9));
    }

    [Fact]
    public void A_log_that_begins_in_February_has_bounds_and_a_usual_year_moves_them_together()
    {
        var late = Year.Where(hour => hour.Start >= Winter.Utc(2027, 2, 1)).ToList();
        var alone = new Told(late);
        var whole = Computed.Model.DatesOf(BudStage.LeafBudSwell);
        var dates = alone.Model.DatesOf(BudStage.LeafBudSwell);

        Assert.True(dates.Early <= whole.Early && dates.Late >= whole.Late, dates.ToString());
        Assert.Null(alone.Model.Doubt);
        Assert.True(alone.Model.UnknownChillHours > 2000);
        Assert.False(alone.Model.NeedsNotMet);

        var logged = new Told(late.Take(24 * 80), [(new(2027, 2, 20), 1)]);
        Assert.Equal(BudState.Open, logged.Model.Buds);
        Assert.True(logged.Of(10).On > new DateOnly(2027, 2, 20));
    }

    [Fact]
    public void A_need_that_the_winter_does_not_meet_is_met_by_heat_alone_and_said_so()
    {
        Assert.True(
            StageNeeds.TryCreate(ChillModel.Portions, 300, HeatFunction.Linear47, StageNeeds.Default.Stages, 0.1, out var needs, out _));
        var told = new Told(Year, needs: needs);

        Assert.True(told.Model.NeedsNotMet);
        Assert.False(Computed.Model.NeedsNotMet);
        // 42 degrees north: 12.5 h of day on about 27 March.
        Assert.InRange(told.Model.ChillMetOn!.Value, new DateOnly(2027, 3, 25), new DateOnly(2027, 3, 29));
    }

    [Fact]
    public void A_tree_seen_shut_stays_so_for_two_days_and_until_a_fifth_of_the_warmth_has_come()
    {
        var on = Computed.Model.DatesOf(BudStage.GreenTip).Expected!.Value;
        var told = new Told(Year.TakeWhile(hour => hour.Start < on.ToDateTime(TimeOnly.MinValue).AddDays(60)), [(on, 0)]);

        var dates = told.Model.DatesOf(BudStage.LeafBudSwell);
        Assert.True(dates.Early >= on.AddDays(2));
        var heat = 0.0;
        var fifth = Year.First(hour =>
            DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(hour.Start, Winter.Madrid).DateTime) >= on
            && (heat += Math.Max(0, hour.TempC - 4.7)) >= 0.2 * 0.9 * 786);
        var fifthOn = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(fifth.Start, Winter.Madrid).DateTime);
        Assert.Equal(fifthOn > on.AddDays(2) ? fifthOn : on.AddDays(2), dates.Early);
        Assert.True(dates.Early <= dates.Expected && dates.Expected <= dates.Late);
    }

    [Fact]
    public void Without_a_latitude_only_what_is_logged_is_known_and_only_for_its_season()
    {
        Assert.Contains("without a latitude", new Told(Year, latitude: null).Model.Doubt!.Text, StringComparison.Ordinal);

        var stages = new List<int?>();
        var told = new Told(
            Year,
            [(new(2026, 11, 20), 97), (new(2027, 2, 20), 1)],
            latitude: null,
            afterHour: model => stages.Add(model.LeafBud?.Code));
        Assert.Equal([null, 1, 3, 9, 10, 11, 19], stages.Distinct());

        var longer = new Told([.. Year, .. Winter.Hours(Year[^1].End, 120)], [(new(2027, 2, 20), 1)], latitude: null);
        Assert.Null(longer.Model.LeafBud);
    }

    [Fact]
    public void A_new_season_starts_dormant()
    {
        var told = new Told(Winter.Hours(Winter.Utc(2026, 9, 1), 366));

        Assert.Equal(2028, told.Model.Season!.Value.Year);
        Assert.Equal((BudStage.Dormant, BudStage.Dormant), (told.Model.LeafBud!.Value, told.Model.FlowerBud!.Value));
        Assert.Equal((0, 0, null, null), (told.Model.ChillSum, told.Model.HeatSum, told.Model.ChillMetOn, told.Model.GreenTipOn));

        var second = new Told(Winter.Hours(Winter.Utc(2026, 9, 1), 700));
        Assert.Equal(2, second.Stages.Count(stage => stage.Stage.Code == 60));
    }

    [Fact]
    public void Each_season_has_its_own_logged_stages()
    {
        var two = Winter.Hours(Winter.Utc(2026, 9, 1), 700).ToList();
        var told = new Told(two, [(new(2027, 3, 20), 65), (new(2028, 2, 20), 57)]);

        Assert.Empty(told.Model.Doubts);
        Assert.Equal(new DateOnly(2028, 2, 20), told.Model.DatesOf(BudStage.From(57)).Expected);
        Assert.Equal(
            0,
            new Told(two.TakeWhile(hour => hour.Start < Winter.Utc(2027, 12, 1)), [(new(2027, 3, 20), 65)]).Model.FlowerBud!.Value.Code);
    }

    [Fact]
    public void What_was_logged_in_autumn_belongs_to_the_year_that_ends()
    {
        var told = new Told(Year, [(new(2026, 9, 20), 89), (new(2026, 11, 28), 97), (new(2025, 3, 1), 60)]);

        Assert.Equal(Computed.Stages, told.Stages);
    }

    // Chill counts from 1 November on.
    [Fact]
    public void What_was_seen_on_the_very_day_from_which_chill_counts_is_this_seasons()
    {
        var dayBefore = new DateOnly(2026, 10, 31);
        Assert.Equal(dayBefore.AddDays(1), new Told(Year, [(dayBefore.AddDays(1), 1)]).Model.DatesOf(BudStage.LeafBudSwell).Expected);
        Assert.Equal(
            Computed.Model.DatesOf(BudStage.LeafBudSwell).Expected,
            new Told(Year, [(dayBefore, 1)]).Model.DatesOf(BudStage.LeafBudSwell).Expected);
    }

    [Fact]
    public void A_silence_widens_the_span_while_it_lasts()
    {
        var until = Computed.Of(1).At.AddDays(-12);
        var told = new Told(Year.Where(hour => hour.End <= until));
        Assert.Equal(BudState.Shut, told.Model.Buds);

        told.Model.AdvanceTo(until.AddDays(30));
        Assert.Equal(BudState.MayBeOpen, told.Model.Buds);
        told.Model.AdvanceTo(until.AddDays(90));
        Assert.Equal(BudState.MayBeOpen, told.Model.Buds);

        foreach (var hour in Year.Where(hour => hour.Start >= until.AddDays(90)))
            told.Model.Add(hour);
        Assert.Equal(BudState.Open, told.Model.Buds);
    }

    [Fact]
    public void A_stage_logged_in_a_silence_counts_at_once_and_hours_before_it_do_not_add_to_it()
    {
        var silence = Computed.Of(1).At;
        var on = Computed.Of(1).On.AddDays(4);
        var told = new Told(Year.Where(hour => hour.End <= silence), [(on, 9)]);

        told.Model.AdvanceTo(silence.AddDays(6));
        Assert.Equal(9, told.Model.LeafBud!.Value.Code);
        foreach (var hour in Year.Where(hour => hour.Start >= silence))
            told.Model.Add(hour);

        Assert.Equal(new Told(Year, [(on, 9)]).Of(60).On.DayNumber, told.Of(60).On.DayNumber, 2.0);
    }

    [Fact]
    public void The_south_does_the_same_half_a_year_later()
    {
        var shift = Winter.Utc(2027, 3, 1) - Winter.Utc(2026, 9, 1);
        var south = Year.Select(hour => hour with { Start = hour.Start + shift });
        var told = new Told(south, latitude: -33, zone: TimeZoneInfo.Utc);
        var north = new Told(Year, zone: TimeZoneInfo.Utc);

        Assert.Equal(2027, told.Model.Season!.Value.Year);
        // May to August have three days more than November to February: chill begins on the same number of days after the start.
        Assert.InRange((told.Of(60).At - shift - north.Of(60).At).TotalDays, -2, 2);
    }

    // BBCH for stone fruit (Meier and others 1994): 91, the shoots have grown and the leaves are still on, belongs to the year that ends,
    // as what follows it does.
    [Theory]
    [InlineData(89, true)]
    [InlineData(91, false)]
    [InlineData(97, false)]
    public void What_ends_a_trees_year_says_nothing_of_its_buds(int code, bool counts)
    {
        var year = Winter.Hours(Winter.Utc(2026, 9, 1), 340).ToList();

        Assert.Equal(counts, new Told(year, [(new(2027, 7, 20), code)]).Stages.Any(stage => stage.Source == StageSource.Logged));
    }

    [Fact]
    public void Hours_that_run_backwards_are_refused()
    {
        var told = new Told(Year.Take(5));
        Assert.Throws<ArgumentException>(() => told.Model.Add(Year[3]));
    }
}
