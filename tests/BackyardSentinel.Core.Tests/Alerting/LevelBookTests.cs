using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

// A week between messages of the lesser kinds is assumed.
public class LevelBookTests
{
    private const double Week = 7 * 24;

    [Theory]
    [InlineData(Week - 0.1, false)]
    [InlineData(Week, true)]
    public void A_possible_level_of_another_spell_is_told_a_week_after_the_last(double later, bool told)
    {
        var again = Told.Risen(Level.Possible, 1 + later, spellStartHours: later);
        var all = Told.From([Told.Risen(Level.Possible, 1), again]);

        Assert.Equal(told ? 2 : 1, all.Sent.Count);
        if (!told)
            Assert.Equal(DropReason.PossibleTooSoon, all.WhyDropped(again));
    }

    [Fact]
    public void A_likely_level_on_open_buds_is_always_told_and_possible_never_on_declining_tissue()
    {
        var likely = Told.Risen(Level.Likely, 31, spellStartHours: 30) with { Declining = true };
        var possible = Told.Risen(Level.Possible, 401, spellStartHours: 400) with { Declining = true };
        var all = Told.From([Told.Risen(Level.Possible, 1), likely, possible]);

        Assert.Equal([Level.Possible, Level.Likely], all.Sent.Select(alert => alert.Level!.Value));
        Assert.Equal(DropReason.PossibleOnDeclining, all.WhyDropped(possible));
    }

    [Theory]
    [InlineData(Week - 0.1, 100, false)] // Another spell within the week.
    [InlineData(Week, 100, true)]
    [InlineData(Week, 0, false)] // The same spell, a week later.
    public void On_buds_that_may_be_shut_one_level_a_spell_and_one_a_week_is_told(double later, double spellStart, bool told)
    {
        var again = Told.Risen(Level.Severe, 1 + later, spellStartHours: spellStart) with { StageSure = false };
        var all = Told.From([Told.Risen(Level.Likely, 1) with { StageSure = false }, again]);

        Assert.Equal(told ? 2 : 1, all.Sent.Count);
        if (!told)
            Assert.Equal(DropReason.BudsMayBeShut, all.WhyDropped(again));
    }

    [Fact]
    public void Each_planting_has_its_own_week() =>
        Assert.Equal(
            2,
            Told
                .From([Told.Risen(Level.Possible, 1), Told.Risen(Level.Possible, 31, spellStartHours: 30, tree: "gate-nectarine")])
                .Sent.Count);

    [Theory]
    [InlineData(Level.Building, null, true, Urgency.Low)]
    [InlineData(Level.Possible, Cover.Fresh, true, Urgency.Low)]
    [InlineData(Level.Possible, Cover.Spent, true, Urgency.Normal)]
    [InlineData(Level.Likely, Cover.Fresh, true, Urgency.Normal)]
    [InlineData(Level.Severe, Cover.Fresh, true, Urgency.Normal)]
    [InlineData(Level.Likely, null, true, Urgency.High)]
    [InlineData(Level.Severe, Cover.None, true, Urgency.High)]
    [InlineData(Level.Severe, null, false, Urgency.Normal)]
    [InlineData(Level.Possible, null, false, Urgency.Low)]
    [InlineData(Level.Building, null, false, Urgency.Low)]
    public void Fresh_cover_and_buds_that_may_be_shut_each_make_it_a_degree_quieter(Level to, Cover? cover, bool sure, Urgency urgency) =>
        Assert.Equal(urgency, (Told.Risen(to, 1, cover: cover) with { StageSure = sure }).Urgency);

    [Fact]
    public void The_policys_times_and_counts_have_ends_that_are_taken()
    {
        _ = new AlertPolicyOptions { MaxPerDay = 1, LevelHold = TimeSpan.Zero, SilenceGrace = TimeSpan.Zero, RepeatAfter = TimeSpan.Zero };
        _ = new AlertPolicyOptions
        {
            MaxPerDay = 50,
            LevelHold = TimeSpan.FromHours(6),
            SilenceGrace = TimeSpan.FromHours(6),
            RepeatAfter = TimeSpan.FromDays(7),
        };
        _ = new AlertPolicyOptions { LeastLevel = Level.Building };

        Refused(() => new AlertPolicyOptions { MaxPerDay = 0 });
        Refused(() => new AlertPolicyOptions { MaxPerDay = 51 });
        Refused(() => new AlertPolicyOptions { LeastLevel = Level.Clear });
        Refused(() => new AlertPolicyOptions { LevelHold = TimeSpan.FromTicks(-1) });
        Refused(() => new AlertPolicyOptions { LevelHold = TimeSpan.FromHours(6.1) });
        Refused(() => new AlertPolicyOptions { SilenceGrace = TimeSpan.FromHours(6.1) });
        Refused(() => new AlertPolicyOptions { RepeatAfter = TimeSpan.FromDays(7.1) });

        static void Refused(Func<AlertPolicyOptions> made) => Assert.Throws<ArgumentOutOfRangeException>(made);
    }
}
