using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

/// <summary>What must hold whatever comes about, in which order it is told and how often the clock is asked.</summary>
public class AlertPropertyTests
{
    private static readonly TimeZoneInfo Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana");

    private static readonly Gen<AlertPolicyOptions> GenOptions = Gen.Select(Gen.Int[1, 8], Gen.Int[0, 23], Gen.Int[0, 23], Gen.Bool)
        .Select((max, from, to, passes) => new AlertPolicyOptions
        {
            Zone = Zone,
            MaxPerDay = max,
            Quiet = from == to ? null : new QuietHours(new(from, 0), new(to, 0)),
            SeverePassesQuiet = passes,
        });

    /// <summary>Anything of any kind within four days, on the quarter hour so that much comes at once.</summary>
    private static readonly Gen<Occasion> GenOccasion = Gen.Select(Gen.Int[0, 9], Gen.Int[0, 4 * 96], Gen.Int[1, 4], Gen.Int[0, 5])
        .Select((kind, quarters, level, which) => Make(kind, quarters / 4.0, (Level)level, which));

    private static readonly Gen<Occasion[]> GenStory = GenOccasion.Array[1, 80];

    [Fact]
    public void On_a_local_day_no_more_is_sent_than_the_count_and_one_summary_beside_severe_levels() =>
        Gen.Select(GenStory, GenOptions)
            .Sample(
                (story, options) =>
                {
                    foreach (var day in Told.From(story, options, 60).Sent.GroupBy(alert => TimeZoneInfo.ConvertTime(alert.At, Zone).Date))
                    {
                        var counted = day.Where(alert =>
                                alert.Kind == Alert.SummaryKind || !alert.Occasions.Any(occasion => occasion.IsSevere))
                            .ToList();
                        Assert.InRange(counted.Count, 0, options.MaxPerDay + 1);
                        Assert.InRange(counted.Count(alert => alert.Kind == Alert.SummaryKind), 0, 1);
                    }
                },
                iter: 300);

    [Fact]
    public void No_episode_tells_a_rung_twice_and_every_id_is_used_once() =>
        Gen.Select(GenStory, GenOptions).Sample((story, options) =>
        {
            var told = Told.From(story, options, 60);
            var rungs = told.Sent.SelectMany(alert => alert.Occasions).Select(occasion => (occasion.Episode, occasion.Rung)).ToList();
            Assert.Equal(rungs.Distinct(), rungs);
            Assert.Equal(told.Ids.Distinct(), told.Ids);
        }, iter: 300);

    [Fact]
    public void Nothing_is_sent_in_quiet_hours_but_a_severe_level_by_choice() =>
        Gen.Select(GenStory, GenOptions).Sample((story, options) =>
            Assert.All(
                Told.From(story, options, 60).Sent.Where(alert => options.Quiet?.EndAt(alert.At, Zone) is not null),
                alert => Assert.True(options.SeverePassesQuiet && alert.Kind == "level-risen" && alert.Level == Level.Severe)), iter: 300);

    [Fact]
    public void Every_occasion_ends_sent_or_dropped_with_a_reason() =>
        Gen.Select(GenStory, GenOptions)
            .Sample(
                (story, options) =>
                {
                    var told = Told.From(story, options, 60);
                    var ended = told
                        .Sent.SelectMany(alert => alert.Occasions)
                        .Concat(told.Decisions.OfType<Drop>().Select(drop => drop.Occasion))
                        .ToHashSet();
                    Assert.All(story, occasion => Assert.Contains(occasion, ended));
                },
                iter: 300);

    [Fact]
    public void The_order_of_what_comes_at_once_does_not_change_how_much_is_sent() =>
        Gen.Select(GenStory, GenOptions, Gen.Int[0, 1000].Array[80]).Sample((story, options, order) =>
        {
            var otherwise = story.Select((occasion, i) => (occasion, i)).OrderBy(item => order[item.i]).Select(item => item.occasion);
            Assert.Equal(Told.From(story, options, 60).Sent.Count, Told.From(otherwise, options, 60).Sent.Count);
        }, iter: 300);

    [Fact]
    public void How_often_the_clock_is_asked_changes_nothing() =>
        Gen.Select(GenStory, GenOptions, Gen.Int[1, 500]).Sample((story, options, minutes) =>
            Assert.Equal(
                Told.From(story, options, 60).Sent.Select(alert => (alert.Id, alert.At)),
                Told.From(story, options, minutes).Sent.Select(alert => (alert.Id, alert.At))), iter: 300);

    private static Occasion Make(int kind, double hours, Level level, int which)
    {
        var at = Some.At(hours);
        var tree = which % 2 == 0 ? Told.Tree : "gate-nectarine";
        return kind switch
        {
            0 or 1 or 2 => Told.Risen(level, hours, level - 1, Math.Floor(hours / 24) * 24, tree),
            3 => new WindowAhead(Told.Site, tree, at, level, at.AddHours(5), 14, 5, 9, at) { Rule = RuleName.WetHours.Word() },
            4 => new SpraySlotFound(Told.Site, tree, at, $"product-{which}", at.AddHours(5), at.AddHours(8)),
            5 => new PickingDue(Told.Site, $"tree-{which}", at, DateOnly.FromDateTime(at.UtcDateTime)),
            6 => new DiskLow(at, which),
            7 => new CoverSpent(Told.Site, tree, at, "copper", 55, new DateOnly(2027, 1, 1 + (int)(hours / 24))),
            8 => Told.Silent($"s{which}", hours, which % 2 == 0 ? Told.Site : "north-bed"),
            // Off the quarter hour: no sensor speaks and is found silent at once.
            _ => Told.Back($"s{which}", hours - 1, hours + 0.1, which % 2 == 0 ? Told.Site : "north-bed"),
        };
    }
}
