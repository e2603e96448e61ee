namespace BackyardSentinel.Tuning;

/// <summary>What a search of limits came to, and whether to believe it.</summary>
/// <param name="Now">The present limits.</param>
/// <param name="Best">The limits that would have cost least over all seasons; that they fit these is no proof.</param>
/// <param name="LeftOut">What the search would have come to in each season had it seen only the others, in sum.</param>
/// <param name="Folds">Season by season: what was found without it, and what that came to in it.</param>
/// <param name="SavedASeason">By how much the left-out score cost less than the present limits, a season, in false alarms.</param>
/// <param name="Saved">Interval of that; <c>null</c>: too few seasons.</param>
/// <param name="TradeOff">What the grid can come to: each pair of scores with the set nearest to the present limits.</param>
/// <param name="Verdict">Whether the limits found are worth taking.</param>
public sealed record TuneAnswer(
    LimitScore Now,
    LimitScore Best,
    LimitScore LeftOut,
    IReadOnlyList<(int Season, LimitSet Found, Counts Came)> Folds,
    double SavedASeason,
    (double Low, double High)? Saved,
    IReadOnlyList<(LimitSet Set, Counts Counts)> TradeOff,
    TuneVerdict Verdict)
{
    /// <summary>Puts together what a search found.</summary>
    /// <param name="search">The search, with every part scored and every search done.</param>
    /// <param name="seed">Where the draws of the intervals begin.</param>
    public static TuneAnswer Of(LimitSearch search, ulong seed)
    {
        var seasons = search.Seasons.Count;
        var draws = new Resampling(seasons, seed);
        var (now, best) = (search.Of(search.Present), search.Of(search.Found(0)));
        List<(int Season, LimitSet Found, Counts Came)> folds =
            [.. search.Seasons.Select((year, i) => (year, search.Found(i + 1), search.Of(search.Found(i + 1))[i]))];
        Counts[] leftOut = [.. folds.Select(fold => fold.Came)];
        LookCounts[] looks = [.. folds.Select((fold, i) => search.LooksOf(fold.Found)[i])];
        double[] saved = [.. leftOut.Select((came, i) => now[i].Cost(search.MissCost) - came.Cost(search.MissCost))];
        var scores = (Now: Score(now), Best: Score(best), LeftOut: Score(leftOut));
        var mean = seasons == 0 ? 0 : saved.Average();
        return new TuneAnswer(
            scores.Now,
            scores.Best,
            scores.LeftOut,
            folds,
            mean,
            draws.Interval(drawn => Mean(saved, drawn)),
            Pairs(search),
            TuneVerdict.Of(
                search,
                looks.Count(season => season.Curl + season.Clean > 0),
                looks.Aggregate(default(LookCounts), (sum, one) => sum + one),
                mean,
                draws.Interval(drawn => Mean(saved, drawn), TuneVerdict.Sure),
                draws.Interval(drawn => Sum(looks, drawn).Skill, TuneVerdict.Sure)));

        LimitScore Score(Counts[] counts) => LimitScore.Of(counts, draws);
    }

    /// <summary>Of sets that come to the same, the first; they stand in the order of the grid.</summary>
    private static List<(LimitSet Set, Counts Counts)> Pairs(LimitSearch search)
    {
        Dictionary<(double?, double?), (LimitSet, Counts)> pairs = [];
        for (var set = 0; set < search.Sets.Count; set++)
        {
            var counts = LimitScore.Sum(search.OfGrid(set));
            if (counts is { Pod: not null, Far: not null })
                pairs.TryAdd((counts.Pod, counts.Far), (search.Sets[set], counts));
        }

        return [.. pairs.Values.OrderBy(pair => pair.Item2.Far).ThenByDescending(pair => pair.Item2.Pod)];
    }

    private static LookCounts Sum(LookCounts[] looks, ReadOnlySpan<int> drawn)
    {
        var sum = default(LookCounts);
        foreach (var season in drawn)
            sum += looks[season];
        return sum;
    }

    private static double? Mean(double[] values, ReadOnlySpan<int> drawn)
    {
        var sum = 0.0;
        foreach (var season in drawn)
            sum += values[season];
        return sum / drawn.Length;
    }
}
