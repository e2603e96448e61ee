using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

// What one kind of message makes of others: sensors and their hub, cover, deadlines, levels and their rain.
public class AlertPolicyKindsTests
{
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

        var risen = LevelRisen.Of(seen.Changes[^1], seen.Risk with { Cover = Cover.None }, new SymptomDays(), site);

        Assert.Equal(
            (Level.Severe, Level.Likely, Cover.None, 10.0, 8.0),
            (risen.To, risen.From, risen.Cover!.Value, risen.RainMm!.Value, risen.MeanTempC!.Value));
        Assert.Equal($"garden/tree/window/{seen.Watch.RunningSpell!.Value.Start.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}", risen.Episode);
        Assert.False(risen.NoRainGauge);
        // The spell that runs is told, and not the window in it, which may have begun later.
        var other = seen.Risk with { Spell = seen.Risk.Spell!.Value with { WetHours = 30, RainMm = 11, MeanTempC = 6 } };
        var fromSpell = LevelRisen.Of(seen.Changes[^1], other, new SymptomDays(), site);
        Assert.Equal((30, 11, 6), (fromSpell.WetHours, fromSpell.RainMm, fromSpell.MeanTempC));
        // A window may outlive its spell.
        var window = seen.Risk.OpenWindows.Single(open => open.Rule == site.LevelRule);
        var fromWindow = LevelRisen.Of(seen.Changes[^1], seen.Risk with { Spell = null }, new SymptomDays(), site);
        Assert.Equal(
            (window.WetHours, window.RainMm, window.MeanTempC, false),
            (fromWindow.WetHours!.Value, fromWindow.RainMm!.Value, fromWindow.MeanTempC, fromWindow.NoRainGauge));
        Assert.Equal($"garden/tree/window/{window.OpenedAt.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}", fromWindow.Episode);
        Assert.NotEqual(seen.Changes[^1].Since, window.OpenedAt);
        // A spell under a roof has no gauge, whatever the site has.
        var roofed = seen.Risk with { Spell = seen.Risk.Spell!.Value with { NoRainGauge = true } };
        Assert.True(LevelRisen.Of(seen.Changes[^1], roofed, new SymptomDays(), site).NoRainGauge);
    }

    [Fact]
    public void A_level_that_has_fallen_since_is_told_as_past_and_one_that_stands_or_is_not_known_is_not()
    {
        var seen = new Diary().Dry(2).Wet(48, tempC: 8, rainMm: 10).Live();
        var risen = LevelRisen.Of(seen.Changes[^1], seen.Risk, new SymptomDays(), seen.Watch.Site);

        Assert.False(risen.Declining);
        Assert.True(LevelRisen.Of(seen.Changes[^1], seen.Risk with { Susceptibility = 0.5 }, new SymptomDays(), seen.Watch.Site).Declining);
        Assert.False(LevelRisen.Of(seen.Changes[^1], seen.Risk with { Susceptibility = 0 }, new SymptomDays(), seen.Watch.Site).Declining);
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

        var risen = LevelRisen.Of(seen.Changes[^1], seen.Risk, new SymptomDays(), site);

        Assert.Equal(rule == RuleName.TwoDay, seen.Watch.RunningSpell is null);
        Assert.Equal((level, true, null), (risen.To, risen.NoRainGauge, risen.RainMm));
    }
}
