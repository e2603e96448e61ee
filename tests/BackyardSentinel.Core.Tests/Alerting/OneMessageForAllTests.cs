using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

/// <summary>What comes to several plantings of a site at once is one message that names them.</summary>
public class OneMessageForAllTests
{
    private const string Sibling = "gate-nectarine";

    private static readonly DateOnly Sprayed = new(2027, 1, 2), Swell = new(2027, 2, 1);

    /// <summary>One planting's news of any kind within four days, on the quarter hour.</summary>
    private static readonly Gen<Func<string, Occasion>> GenNews = Gen.Select(Gen.Int[0, 7], Gen.Int[0, 4 * 96], Gen.Int[1, 4])
        .Select((kind, quarters, level) => (Func<string, Occasion>)(tree => Make(kind, quarters / 4.0, (Level)level, tree)));

    private static readonly Gen<AlertPolicyOptions> GenOptions = Gen.Select(Gen.Int[1, 8], Gen.Int[0, 23], Gen.Int[0, 23], Gen.Bool)
        .Select(
            (max, from, to, passes) =>
                new AlertPolicyOptions
                {
                    MaxPerDay = max,
                    Quiet = from == to ? null : new QuietHours(new(from, 0), new(to, 0)),
                    SeverePassesQuiet = passes,
                });

    [Fact]
    public void Two_like_plantings_give_the_messages_of_one_and_each_names_both() =>
        Gen.Select(GenNews.Array[1, 60], GenOptions).Sample((news, options) =>
        {
            var one = Told.From(news.Select(make => make(Told.Tree)), options, 60).Sent;
            var two = Told.From(news.SelectMany(make => new[] { make(Told.Tree), make(Sibling) }), options, 60).Sent;

            Assert.Equal(
                one.Select(alert => (alert.Kind, alert.At, alert.Level, alert.Urgency)),
                two.Select(alert => (alert.Kind, alert.At, alert.Level, alert.Urgency)));
            Assert.All(two, alert => Assert.Equal([Sibling, Told.Tree], alert.Plantings.Order(StringComparer.Ordinal)));
            Assert.Equal(one.Sum(alert => 2 * alert.Occasions.Count), two.Sum(alert => alert.Occasions.Count));
        },
                iter: 300);

    [Theory]
    [InlineData(3, "south-wall-tree-0-tree-1-tree-2-")]
    [InlineData(4, "south-wall-4-plantings-")]
    public void An_id_names_three_plantings_and_of_more_tells_the_number(int plantings, string id) =>
        Assert.StartsWith(
            id,
            Alert.Together([.. Enumerable.Range(0, plantings).Select(i => Told.Risen(Level.Likely, 0, tree: $"tree-{i}"))], Some.At(6)).Id,
            StringComparison.Ordinal);

    [Fact]
    public void It_is_of_use_as_long_as_any_of_its_news_is()
    {
        var (soon, later) = (Told.Risen(Level.Likely, 0), Told.Risen(Level.Likely, 5, tree: Sibling));
        Assert.True(soon.UsefulUntil < later.UsefulUntil);

        Assert.All(
            new[]
            {
                Alert.Together([soon, later], Some.At(6)),
                Alert.Together([later, soon], Some.At(6)),
                Alert.Of([soon, later], Some.At(6)),
            },
            alert => Assert.Equal(later.UsefulUntil, alert.UsefulUntil));
    }

    [Fact]
    public void A_planting_is_told_its_high_levels_as_soon_as_without_siblings() =>
        Gen.Select(GenNews.Array[1, 60], GenNews.Array[1, 60], Gen.Bool)
            .Sample(
                (mine, siblings, passes) =>
                {
                    // A count that a sibling may use up is left out: it is the whole site's by design, and severe passes it.
                    var options = new AlertPolicyOptions
                    {
                        MaxPerDay = 50,
                        Quiet = new QuietHours(new(22, 0), new(6, 0)),
                        SeverePassesQuiet = passes,
                    };
                    var alone = Moments(Told.From(mine.Select(make => make(Told.Tree)), options, 60));
                    var among = Moments(
                        Told.From([.. mine.Select(make => make(Told.Tree)), .. siblings.Select(make => make(Sibling))], options, 60));

                    Assert.All(
                        alone,
                        told =>
                            Assert.True(
                                among.TryGetValue(told.Key, out var at) && at <= told.Value,
                                $"{told.Key} was told at {told.Value:u} alone"));
                },
                iter: 300);

    [Fact]
    public void However_the_messages_are_put_together_nothing_is_told_twice_over_a_rebuild() =>
        Gen.Select(GenNews.Array[1, 60], Gen.Bool.Array[60], GenOptions)
            .Sample(
                (news, here, options) =>
                {
                    // At first the journal held some of it for one planting only; then it is judged again.
                    var before = Told.From(
                        news.SelectMany((make, i) => here[i] ? new[] { make(Told.Tree), make(Sibling) } : [make(Told.Tree)]),
                        options,
                        60
                    ).Sent;
                    var known = before.SelectMany(alert => alert.Tells.Append(alert.Id)).ToHashSet();
                    var after = Told.From(news.SelectMany(make => new[] { make(Told.Tree), make(Sibling) }), options, 60)
                        .Sent.Select(alert => alert.Untold(known))
                        .OfType<Alert>()
                        .ToList();

                    var told = before.Concat(after).SelectMany(alert => alert.Tells).ToList();
                    Assert.Equal(told.Distinct(), told);
                    Assert.Empty(after.Select(alert => alert.Id).Intersect(before.Select(alert => alert.Id)));
                }, iter: 300);

    [Fact]
    public void A_level_that_reaches_a_sibling_within_the_wait_goes_out_with_it()
    {
        var sent = Told.From([Told.Risen(Level.Likely, 13), Told.Risen(Level.Possible, 13 + (10 / 60.0), tree: Sibling)]).Sent;

        var only = Assert.Single(sent);
        Assert.Equal([Told.Tree, Sibling], only.Plantings);
        Assert.Equal((Level.Likely, Urgency.High, Some.At(13).AddMinutes(11)), (only.Level, only.Urgency, only.At));
    }

    [Fact]
    public void A_likely_level_is_told_though_its_siblings_was_told_hours_before() =>
        Assert.Equal(
            [Told.Tree, Sibling],
            Told.From([Told.Risen(Level.Likely, 13), Told.Risen(Level.Likely, 15, tree: Sibling)])
                .Sent.Select(alert => Assert.Single(alert.Plantings)));

    [Fact]
    public void A_severe_level_that_passes_the_quiet_hours_takes_its_sibling_along()
    {
        var options = new AlertPolicyOptions { Quiet = new QuietHours(new(22, 0), new(7, 0)), SeverePassesQuiet = true };

        var only = Assert.Single(Told.From([Told.Risen(Level.Severe, 25), Told.Risen(Level.Likely, 25, tree: Sibling)], options).Sent);

        Assert.Equal([Told.Tree, Sibling], only.Plantings);
        Assert.Equal(Some.At(25).AddMinutes(11), only.At);
    }

    [Fact]
    public void A_severe_level_uses_up_none_of_the_days_messages_nor_does_the_sibling_it_takes_along()
    {
        var sent = Told.From(
            [Told.Risen(Level.Severe, 1), Told.Risen(Level.Likely, 1, tree: Sibling), new DiskLow(Some.At(5), 90)],
            new AlertPolicyOptions { MaxPerDay = 1 }).Sent;

        Assert.Equal([2, 1], sent.Select(alert => alert.Occasions.Count));
        Assert.Equal(sent[0].At.Date, sent[1].At.Date);
    }

    [Fact]
    public void Plantings_of_two_sites_are_told_apart() =>
        Assert.Equal(
            ["a", "b"],
            Told.From([
                    new DiskLow(Some.At(1), 90),
                    .. new[] { "a", "b" }.Select(site => new CoverSpent(site, Told.Tree, Some.At(1), "copper", 55, Sprayed)),
                ])
                .Sent.Select(alert => alert.Site)
                .OfType<string>());

    [Fact]
    public void The_message_of_many_plantings_has_an_id_of_bearable_length()
    {
        var news = Enumerable.Range(0, 40).Select(i => Told.Risen(Level.Likely, 13, tree: $"a-planting-with-a-long-name-{i}"));

        var only = Assert.Single(Told.From(news).Sent);

        Assert.Equal(40, only.Plantings.Count);
        Assert.InRange(only.Id.Length, 1, 100);
        Assert.Matches("^[a-z0-9-]+$", only.Id);
    }

    private static Dictionary<(string Episode, Level Level), DateTimeOffset> Moments(Told told) =>
        told
            .Sent.SelectMany(alert =>
                alert
                    .Occasions.OfType<LevelRisen>()
                    .Where(risen => risen.Planting == Told.Tree && risen.To >= Level.Likely)
                    .Select(risen => (Key: (risen.Episode, risen.To), alert.At)))
            .ToDictionary(pair => pair.Key, pair => pair.At);

    private static Occasion Make(int kind, double hours, Level level, string tree)
    {
        var at = Some.At(hours);
        return kind switch
        {
            0 or 1 or 2 => Told.Risen(level, hours, level - 1, Math.Floor(hours / 24) * 24, tree),
            3 => new WindowAhead(Told.Site, tree, at, level, at.AddHours(5), 14, 5, 9, at) { Rule = RuleName.WetHours.Word() },
            4 => new SpraySlotFound(Told.Site, tree, at, "copper", at.AddHours(5), at.AddHours(8)),
            5 => new PickingDue(Told.Site, tree, at, DateOnly.FromDateTime(at.UtcDateTime)),
            6 => new CoverSpent(Told.Site, tree, at, "copper", 55, Sprayed),
            _ => new SprayDeadlineNear(Told.Site, tree, at, Swell.AddDays(7), Swell, Swell.AddDays(14), (int)level * 3),
        };
    }
}
