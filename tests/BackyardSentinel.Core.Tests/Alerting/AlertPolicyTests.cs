using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

// Levels and episodes.
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
    public void Every_reason_to_drop_has_words_of_its_own()
    {
        var clauses = Enum.GetValues<DropReason>().Select(reason => reason.Clause()).ToList();
        Assert.Equal(clauses.Count, clauses.Distinct().Count());
    }
}
