using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

// What waits or is held back: quiet hours, the day's count, answers.
public class AlertPolicyWaitTests
{
    private static readonly AlertPolicyOptions Night = new() { Quiet = new QuietHours(new(22, 0), new(7, 0)) };

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

    // By the time zone database the clocks go back at 3:00 on 31 October 2027, so that 2:30 comes twice: at 0:30 and at 1:30 UTC.
    [Fact]
    public void A_morning_that_comes_twice_is_the_later_one()
    {
        var night = new DateTimeOffset(2027, 10, 30, 23, 0, 0, TimeSpan.Zero);
        var swell = new DateOnly(2028, 2, 1);
        var options = new AlertPolicyOptions
        {
            MorningAt = new TimeOnly(2, 30),
            Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"),
        };

        var sent = Told.From([new SprayLastChance(Told.Site, Told.Tree, night, swell, swell, swell)], options).Sent;

        Assert.Equal(night.AddHours(2.5), Assert.Single(sent).At);

        var slot = new SpraySlotFound(Told.Site, Told.Tree, night.AddHours(-3), "copper", night.AddHours(9), night.AddHours(12));
        Assert.Equal(night.AddHours(2.5), Assert.Single(Told.From([slot], options).Sent).At);
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
}
