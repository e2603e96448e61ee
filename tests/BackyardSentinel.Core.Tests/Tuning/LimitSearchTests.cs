using BackyardSentinel.Tuning;

namespace BackyardSentinel.Tests.Tuning;

public class LimitSearchTests
{
    private static readonly int Seeds = Rounds.Of(100);

    [Fact]
    public void A_planted_truth_is_found_within_a_step_of_the_grid_and_recommended()
    {
        var (near, recommended, different) = (0, 0, 0);
        for (var seed = 0; seed < Seeds; seed++)
        {
            var random = new Random(seed);
            var truth = Truth(random);
            var search = InventedSeasons.Planted(random, truth, 16).Searched();
            var found = search.Found(0);
            near += InventedSeasons.Axes.All(axis => IsNear(axis, axis.Of(found), axis.Of(found with { Rule = truth }))) ? 1 : 0;
            if (truth == InventedSeasons.Published.Rule)
                continue;
            different++;
            recommended += TuneAnswer.Of(search, 1).Verdict.Recommended ? 1 : 0;
        }

        Assert.True(near >= 0.95 * Seeds, $"Found in {near} of {Seeds}.");
        // A truth that lies next to the published limits differs in few spells: not every garden can prove it.
        Assert.True(recommended >= 0.8 * different, $"Recommended in {recommended} of {different}.");
    }

    [Fact]
    public void Nothing_is_recommended_where_curl_comes_and_goes_by_itself()
    {
        var none = 0;
        for (var seed = 0; seed < Seeds; seed++)
            none += TuneAnswer.Of(InventedSeasons.Noise(new Random(seed), 20).Searched(), 1).Verdict.Recommended ? 0 : 1;

        Assert.True(none >= 0.95 * Seeds, $"Nothing was recommended in {none} of {Seeds}.");
    }

    // The year that is left out says the opposite of all others; had the search looked at it, it would have moved.
    [Fact]
    public void A_season_that_is_left_out_is_never_seen()
    {
        var moved = 0;
        for (var seed = 0; seed < Math.Max(3, Rounds.Of(10)); seed++)
        {
            const int Year = 4;
            var truth = Truth(new Random(seed));
            var whole = InventedSeasons.Planted(new Random(seed), truth, 8).Searched();
            var contradicted = InventedSeasons.Planted(new Random(seed), truth, 8).Contradicted(Year).Searched();
            var without = InventedSeasons.Planted(new Random(seed), truth, 8).Without(Year).Searched();

            Assert.Equal(without.Found(0), contradicted.Found(Year + 1));
            Assert.Equal(whole.Found(Year + 1), contradicted.Found(Year + 1));
            Assert.DoesNotContain(Year, without.Seasons);
            moved += whole.Found(0) == contradicted.Found(0) ? 0 : 1;
        }

        Assert.True(moved > 0, "The contradiction contradicts nothing.");
    }

    [Fact]
    public void A_dear_miss_makes_for_earlier_warnings_and_a_cheap_one_for_fewer()
    {
        var seasons = InventedSeasons.Noise(new Random(3), 12);
        var (dear, cheap) = (Sum(seasons.Searched(missCost: 20)), Sum(seasons.Searched(missCost: 0.2)));

        Assert.True(dear.Misses < cheap.Misses);
        Assert.True(dear.FalseAlarms > cheap.FalseAlarms);

        static Counts Sum(LimitSearch search) => TuneAnswer.Of(search, 1).Best.Counts;
    }

    [Fact]
    public void Few_seasons_or_looks_are_refused_with_how_many_it_takes()
    {
        var few = TuneAnswer.Of(InventedSeasons.Planted(new Random(1), new WetHoursLimits(5, 18, 14), 3).Searched(), 1);

        Assert.False(few.Verdict.Recommended);
        Assert.Equal(
            "Looks that tell something: 12 in 3 seasons, 3 of them with curl. To vary 3 limits takes 30 or more in "
            + "4 seasons, 4 of them with curl and 4 without.",
            few.Verdict.Why);
        Assert.Equal(30, few.Verdict.Needed);
    }

    [Fact]
    public void Without_any_look_there_is_an_answer_too()
    {
        var seasons = InventedSeasons.Noise(new Random(1), 2);
        seasons.Looks.Clear();
        var answer = TuneAnswer.Of(seasons.Searched(), 1);

        Assert.Equal((false, 0), (answer.Verdict.Recommended, answer.Verdict.Looks.Curl));
        Assert.Null(answer.Now.Pod);
        Assert.Empty(answer.TradeOff);
    }

    [Fact]
    public void The_same_seed_gives_the_same_intervals_and_they_hold_the_score()
    {
        var search = InventedSeasons.Noise(new Random(5), 12).Searched();
        var (one, two, other) = (TuneAnswer.Of(search, 7), TuneAnswer.Of(search, 7), TuneAnswer.Of(search, 8));

        Assert.Equal((one.LeftOut, one.Saved), (two.LeftOut, two.Saved));
        Assert.NotEqual(one.LeftOut, other.LeftOut);
        Assert.InRange(one.Now.Counts.Csi!.Value, one.Now.Csi!.Value.Low, one.Now.Csi!.Value.High);
        Assert.True(one.Now.Csi!.Value.High - one.Now.Csi!.Value.Low > 0.1);
    }

    private static WetHoursLimits Truth(Random random)
    {
        double[] rain = [1, 2, 3, 5], hours = [8, 10, 12.5, 15, 18], temp = [14, 16, 18, 20];
        return new WetHoursLimits(rain[random.Next(4)], hours[random.Next(5)], temp[random.Next(4)]);
    }

    private static bool IsNear(LimitAxis axis, double found, double truth) =>
        found >= axis.Figures.Where(figure => figure < truth).Max() && found <= axis.Figures.Where(figure => figure > truth).Min();
}
