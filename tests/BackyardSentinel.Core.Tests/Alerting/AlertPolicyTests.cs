using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

public class AlertPolicyTests
{
    private static readonly AlertPolicyOptions Night = new() { Quiet = new QuietHours(new(22, 0), new(7, 0)) };

    [Fact]
    public void One_message_for_each_level_of_an_episode_and_none_for_a_fall()
    {
        var told = Told.From([
            Told.Risen(Level.Possible, 13),
            Told.Risen(Level.Likely, 20, Level.Possible),
            Told.Risen(Level.Possible, 21, Level.Likely),
            Told.Risen(Level.Likely, 22, Level.Possible),
            Told.Risen(Level.Severe, 40, Level.Likely),
            Told.Risen(Level.Clear, 50, Level.Severe),
        ]);

        Assert.Equal([Level.Possible, Level.Likely, Level.Severe], told.Sent.Select(alert => alert.Level!.Value));
        Assert.Equal(Some.At(13).AddMinutes(11), told.Sent[0].At);
        Assert.Equal(3, told.Decisions.OfType<Drop>().Count());
        Assert.All(told.Decisions, decision => Assert.NotEmpty(decision.Reason));
    }

    [Fact]
    public void A_quick_further_rise_takes_the_place_of_the_first() =>
        Assert.Equal(
            Level.Likely,
            Assert.Single(Told.From([Told.Risen(Level.Possible, 13), Told.Risen(Level.Likely, 13.1, Level.Possible)]).Sent).Level);

    [Fact]
    public void Levels_below_the_least_are_not_told()
    {
        Occasion building = Told.Risen(Level.Building, 1, Level.Clear);

        Assert.Empty(Told.From([building]).Sent);
        Assert.Single(Told.From([building], new AlertPolicyOptions { LeastLevel = Level.Building }).Sent);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Input_that_flaps_at_each_sample_for_a_day_gives_two_messages_at_most(bool episodeOfItsOwnEachTime)
    {
        var flapping = Enumerable.Range(0, 24 * 12).Select(i => i / 12.0).Select((hours, i) => (i % 3) switch
        {
            0 => Told.Risen(Level.Possible, hours, Level.Clear, episodeOfItsOwnEachTime ? hours : 0),
            1 => Told.Risen(Level.Likely, hours, Level.Possible, episodeOfItsOwnEachTime ? hours : 0),
            _ => Told.Risen(Level.Clear, hours, Level.Likely, episodeOfItsOwnEachTime ? hours : 0),
        });

        Assert.InRange(Told.From(flapping).Sent.Count, 1, 2);
    }

    [Fact]
    public void A_sensor_that_comes_and_goes_for_a_day_gives_two_messages_at_most()
    {
        var flapping = Enumerable
            .Range(0, 24)
            .SelectMany(hour => new Occasion[] { Told.Silent("air", hour), Told.Back("air", hour, hour + 0.5) });

        var told = Told.From(flapping);

        Assert.Equal(["sensor-silent", "sensor-back"], told.Sent.Select(alert => alert.Kind));
    }

    [Fact]
    public void The_next_wet_spell_is_news_again() =>
        Assert.Equal(2, Told.From([Told.Risen(Level.Likely, 13), Told.Risen(Level.Likely, 29.5, spellStartHours: 17)]).Sent.Count);

    [Fact]
    public void A_thousand_restarts_over_the_same_inputs_give_the_same_ids()
    {
        Occasion[] season =
        [
            Told.Risen(Level.Possible, 13),
            Told.Silent("air", 14),
            Told.Silent("leaf", 14.1),
            Told.Back("air", 14, 16),
            Told.Risen(Level.Severe, 40),
            new SpraySlotFound(Told.Site, Told.Tree, Some.At(41), "copper", Some.At(60), Some.At(64)),
            new DiskLow(Some.At(42), 90),
        ];
        string[] ids = [.. Told.From(season, Night).Ids];

        var seen = new HashSet<string>(ids);
        for (var restart = 0; restart < 1000; restart++)
            seen.UnionWith(Told.From(season, Night, tickMinutes: 1 + (restart % 60)).Ids);

        Assert.Equal(6, ids.Length);
        Assert.Equal(ids.Order(StringComparer.Ordinal), seen.Order(StringComparer.Ordinal));
        Assert.All(ids, id => Assert.Matches("^[a-z0-9-]+$", id));
    }

    [Fact]
    public void Ids_that_read_alike_are_not_the_same()
    {
        var told = Told.From([
            new PickingDue("a-b", "c", Some.At(1), new DateOnly(2027, 5, 1)),
            new PickingDue("a", "b-c", Some.At(1), new DateOnly(2027, 5, 1)),
        ]);

        Assert.Equal(2, told.Ids.Distinct().Count());
    }

    [Fact]
    public void A_storm_gives_the_days_count_and_one_summary_next_morning()
    {
        var storm = Enumerable
            .Range(0, 30)
            .Select(i => new PickingDue($"bed-{i}", Told.Tree, Some.At(10 + (i / 30.0)), new DateOnly(2027, 5, 1)));

        var sent = Told.From(storm).Sent;

        Assert.Equal(7, sent.Count);
        Assert.All(sent.Take(6), alert => Assert.Single(alert.Occasions));
        Assert.Equal((Alert.SummaryKind, 24, Some.At(24 + 7)), (sent[6].Kind, sent[6].Occasions.Count, sent[6].At));
        Assert.Equal((null, 1), (sent[6].Site, sent[6].Plantings.Count));
    }

    [Fact]
    public void A_severe_level_passes_the_days_count_and_takes_nothing_of_it()
    {
        var storm = Enumerable
            .Range(0, 6)
            .Select(i => (Occasion)new PickingDue($"bed-{i}", Told.Tree, Some.At(10), new DateOnly(2027, 5, 1)));

        Assert.Equal(7, Told.From(storm.Append(Told.Risen(Level.Severe, 12))).Sent.Count(alert => alert.At < Some.At(24)));
        Assert.Equal(7, Told.From(storm.Append(Told.Risen(Level.Severe, 8))).Sent.Count(alert => alert.At < Some.At(24)));
    }

    [Fact]
    public void What_comes_up_in_quiet_hours_goes_out_as_one_when_they_end()
    {
        var sent = Told.From(
            [
                Told.Risen(Level.Likely, 23),
                Told.Risen(Level.Severe, 27),
                new DiskLow(Some.At(28), 90),
                Told.Risen(Level.Likely, 29, tree: "gate-nectarine"),
            ],
            Night
        ).Sent;

        var summary = Assert.Single(sent);
        Assert.Equal(
            (Alert.SummaryKind, Some.At(31), Level.Severe, Urgency.High),
            (summary.Kind, summary.At, summary.Level, summary.Urgency));
        Assert.Equal(3, summary.Occasions.Count);
    }

    [Fact]
    public void A_severe_level_may_pass_quiet_hours_by_choice() =>
        Assert.Equal(
            Some.At(25).AddMinutes(11),
            Assert.Single(Told.From([Told.Risen(Level.Severe, 25)], Night with { SeverePassesQuiet = true }).Sent).At);

    [Fact]
    public void A_slot_that_has_passed_during_quiet_hours_is_not_told()
    {
        var slot = new SpraySlotFound(Told.Site, Told.Tree, Some.At(23), "copper", Some.At(27), Some.At(30));

        var told = Told.From([slot], Night);

        Assert.Empty(told.Sent);
        Assert.Equal(DropReason.Past, told.WhyDropped(slot));
    }

    [Fact]
    public void What_is_past_at_first_sight_is_written_down_and_not_sent()
    {
        var policy = new AlertPolicy(new AlertPolicyOptions());
        policy.AdvanceTo(Some.At(24 * 5));

        var drop = Assert.IsType<Drop>(policy.Consider(Told.Risen(Level.Severe, 13)));

        Assert.Equal(DropReason.Past, drop.Why);
        Assert.Empty(policy.AdvanceTo(Some.At(24 * 9)));
    }

    [Fact]
    public void A_seen_episode_is_silent_until_a_higher_level()
    {
        var possible = Told.Risen(Level.Possible, 23);
        var likely = Told.Risen(Level.Likely, 33);

        var told = Told.From(
            [possible, likely, Told.Risen(Level.Likely, 36)],
            Night,
            answers: new SeenAnswer(possible.Episode, Some.At(24)));

        Assert.Equal(DropReason.Seen, told.WhyDropped(possible));
        Assert.Equal(likely, Assert.Single(Assert.Single(told.Sent).Occasions));
    }

    [Fact]
    public void An_episode_put_off_waits_for_the_end()
    {
        var possible = Told.Risen(Level.Possible, 9);

        var told = Told.From(
            [possible, Told.Risen(Level.Likely, 12)],
            answers: new LaterAnswer(possible.Episode, Some.At(10), Some.At(15)));

        Assert.Equal(
            [(Level.Possible, Some.At(9).AddMinutes(11)), (Level.Likely, Some.At(15).AddMinutes(1))],
            told.Sent.Select(alert => (alert.Level!.Value, alert.At)));
    }

    [Fact]
    public void An_answer_to_nothing_known_says_so()
    {
        var policy = new AlertPolicy(new AlertPolicyOptions());

        Assert.Contains("No alert of the episode 'x' is known", policy.Answer(new SeenAnswer("x", Some.At(1))), StringComparison.Ordinal);
    }

    [Fact]
    public void Twenty_sensors_of_a_silent_hub_give_one_message_and_their_return_one_more()
    {
        var silent = Enumerable.Range(0, 20).Select(i => (Occasion)Told.Silent($"s{i}", 9 + (i / 40.0)));
        var back = Enumerable.Range(0, 18).Select(i => (Occasion)Told.Back($"s{i}", 9 + (i / 40.0), 15 + (i / 200.0)));

        var sent = Told.From([.. silent, .. back, Told.Back("s19", 9 + (19 / 40.0), 17)]).Sent;

        Assert.Equal(["sensors-silent", "sensors-back", "sensor-back"], sent.Select(alert => alert.Kind));
        Assert.Equal((18, 2), (((SensorsBack)sent[1].Occasions[0]).Back, ((SensorsBack)sent[1].Occasions[0]).StillSilent));
        Assert.Equal(sent[0].Episode, sent[1].Episode);
    }

    [Fact]
    public void A_hub_reported_silent_explains_its_sensors_and_no_others()
    {
        var sensors = Enumerable.Range(0, 20).Select(i => (Occasion)Told.Silent($"s{i}", 9 + (i / 10.0)));

        var sent = Told.From([
            .. sensors,
            new SensorsSilent(Told.Site, Some.At(9), 20, Some.At(6)),
            Told.Silent("other", 9, "north-bed"),
        ]).Sent;

        Assert.Equal(["sensor-silent", "sensors-silent"], sent.Select(alert => alert.Kind).Order());
    }

    [Fact]
    public void A_hub_that_is_silent_again_after_a_day_is_told_again()
    {
        var twice = new[] { 0.0, 40.0 }.SelectMany(h => new Occasion[]
        {
            Told.Silent("air", 9 + h), Told.Silent("leaf", 9 + h), Told.Back("air", 9 + h, 12 + h), Told.Back("leaf", 9 + h, 12 + h),
        });

        Assert.Equal(
            ["sensors-silent", "sensors-back", "sensors-silent", "sensors-back"],
            Told.From(twice).Sent.Select(alert => alert.Kind));
    }

    [Fact]
    public void A_return_without_a_told_silence_is_not_told()
    {
        Assert.Empty(Told.From([Told.Back("air", 1, 5)]).Sent);
        Assert.Empty(Told.From([Told.Silent("air", 1), Told.Back("air", 1, 1.1)]).Sent);
    }

    [Fact]
    public void Cover_spent_follows_cover_to_recheck_and_not_the_other_way()
    {
        var sprayed = new DateOnly(2027, 1, 20);
        Occasion recheck = new CoverToRecheck(Told.Site, Told.Tree, Some.At(1), "copper", 26, sprayed);
        Occasion spent = new CoverSpent(Told.Site, Told.Tree, Some.At(9), "copper", 51, sprayed);

        Assert.Equal(["cover-to-recheck", "cover-spent"], Told.From([recheck, spent]).Sent.Select(alert => alert.Kind));
    }

    [Fact]
    public void A_deadline_that_jumps_speaks_at_once_where_it_lands_and_once_more_when_it_has_passed()
    {
        DateOnly late = new(2027, 3, 1);
        // Looked at each hour: nothing is told 19 days ahead; a warm spell makes it 5; two days later the early date has come.
        List<Occasion> looks =
        [
            .. Enumerable
                .Range(0, 48)
                .Select(hour => new SprayDeadlineNear(
                    Told.Site,
                    Told.Tree,
                    Some.At(hour),
                    late.AddDays(-7),
                    new DateOnly(2027, 2, 6),
                    late,
                    5 - (hour / 24))),
            .. Enumerable
                .Range(48, 72)
                .Select(hour => new SprayLastChance(Told.Site, Told.Tree, Some.At(hour), late.AddDays(-7), new DateOnly(2027, 2, 3), late)),
        ];

        Assert.Equal(
            [("spray-deadline-near", Some.At(7)), ("spray-last-chance", Some.At(48 + 7))],
            Told.From(looks).Sent.Select(alert => (alert.Kind, alert.At)));
    }

    [Theory]
    [InlineData(0.2, 6.0)]
    [InlineData(6.0, 0.2)]
    [InlineData(7.5, 9.0)]
    public void The_last_chance_and_a_look_at_the_buds_on_one_day_are_one_message_in_whatever_order(double chanceAt, double lookAt)
    {
        var chance = new SprayLastChance(
            Told.Site,
            Told.Tree,
            Some.At(chanceAt),
            new DateOnly(2027, 2, 9),
            new DateOnly(2027, 2, 1),
            new DateOnly(2027, 2, 20));
        var look = Look(Told.Tree, lookAt, new DateOnly(2027, 2, 1));
        var sibling = Look("gate-nectarine", lookAt, new DateOnly(2027, 2, 1));
        var nextDay = Look(Told.Tree, 24.2, new DateOnly(2027, 2, 2));

        var told = Told.From([chance, look, sibling, nextDay]);

        Assert.Equal(DropReason.LookInLastChance, told.WhyDropped(look));
        Assert.Single(told.Sent, alert => alert.Kind == "spray-last-chance");
        // A sibling's look and one of another day are asked for.
        Assert.Equal(
            ["gate-nectarine", Told.Tree],
            told.Sent.Where(alert => alert.Kind == "look-at-buds").SelectMany(alert => alert.Plantings));

        static LookAtBuds Look(string tree, double hours, DateOnly on) =>
            new(Told.Site, tree, Some.At(hours), 1, Expected: false, on, ATableWouldHelp: false);
    }

    [Theory]
    [InlineData(2.5, 7)]
    [InlineData(9.5, 9.5 + (1 / 60.0))]
    [InlineData(20.9, 20.9 + (1 / 60.0))]
    [InlineData(21, 24 + 7)]
    [InlineData(23.5, 24 + 7)]
    public void A_slot_that_is_found_at_night_waits_for_the_morning(double foundAt, double toldAt) =>
        Assert.Equal(
            Some.At(toldAt),
            Assert
                .Single(Told.From([new SpraySlotFound(Told.Site, Told.Tree, Some.At(foundAt), "copper", Some.At(40), Some.At(44))]).Sent)
                .At);

    [Fact]
    public void Every_reason_to_drop_has_words_of_its_own()
    {
        var clauses = Enum.GetValues<DropReason>().Select(reason => reason.Clause()).ToList();
        Assert.Equal(clauses.Count, clauses.Distinct().Count());
    }

    [Theory]
    [InlineData(Cover.Fresh, Urgency.Normal)]
    [InlineData(Cover.Spent, Urgency.High)]
    [InlineData(null, Urgency.High)]
    public void Fresh_cover_makes_a_window_quieter(Cover? cover, Urgency urgency) =>
        Assert.Equal(urgency, Told.Risen(Level.Likely, 13, cover: cover).Urgency);

    [Fact]
    public void A_rise_is_made_from_what_the_watch_over_the_site_says()
    {
        var seen = new Diary().Dry(2).Wet(48, tempC: 8, rainMm: 10).Live();
        var site = seen.Watch.Site;

        var risen = LevelRisen.Of(seen.Changes[^1], seen.Risk with { Cover = Cover.None }, site);

        Assert.Equal(
            (Level.Severe, Level.Likely, Cover.None, 10.0, 8.0),
            (risen.To, risen.From, risen.Cover!.Value, risen.RainMm!.Value, risen.MeanTempC!.Value));
        Assert.Equal($"garden/tree/window/{seen.Watch.RunningSpell!.Value.Start.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}", risen.Episode);
        Assert.False(risen.NoRainGauge);
    }

    [Fact]
    public void A_level_that_has_fallen_since_is_told_as_past_and_one_that_stands_or_is_not_known_is_not()
    {
        var seen = new Diary().Dry(2).Wet(48, tempC: 8, rainMm: 10).Live();
        var risen = LevelRisen.Of(seen.Changes[^1], seen.Risk, seen.Watch.Site);

        Assert.False(risen.Declining);
        Assert.True(LevelRisen.Of(seen.Changes[^1], seen.Risk with { Susceptibility = 0.5 }, seen.Watch.Site).Declining);
        Assert.False(LevelRisen.Of(seen.Changes[^1], seen.Risk with { Susceptibility = 0 }, seen.Watch.Site).Declining);
        Assert.Null(risen.AsOf(seen.Risk).FellAt);
        Assert.Null(risen.AsOf(seen.Risk with { Level = Level.Unknown }).FellAt);
        Assert.Null(risen.AsOf(null).FellAt);
        Assert.Equal(Some.At(60), risen.AsOf(seen.Risk with { Level = Level.Likely, Since = Some.At(60) }).FellAt);
    }

    [Theory]
    [InlineData(RuleName.WetHours, 5, Level.Building)]
    [InlineData(RuleName.TwoDay, 30, Level.Likely)]
    public void Without_a_gauge_no_sum_of_rain_is_told_in_a_spell_or_outside_one(RuleName rule, double hours, Level level)
    {
        // Humid air over a leaf sensor that stays dry is a stretch of the rule two-day, and no spell.
        var site = Some.Garden() with { LevelRule = rule.Word(), HasRainGauge = false };
        var seen = new Diary().Rows(2, 12, 60, null, leaf: 0).Rows(hours, 12, 95, null, leaf: rule == RuleName.TwoDay ? 0 : 100).Live(site);

        var risen = LevelRisen.Of(seen.Changes[^1], seen.Risk, site);

        Assert.Equal(rule == RuleName.TwoDay, seen.Watch.RunningSpell is null);
        Assert.Equal((level, true, null), (risen.To, risen.NoRainGauge, risen.RainMm));
    }
}
