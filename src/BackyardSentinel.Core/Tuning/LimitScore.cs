namespace BackyardSentinel.Tuning;

/// <summary>What scouting made of a set of limits, with the interval of each score over the seasons.</summary>
/// <param name="Counts">The counts of all seasons.</param>
/// <param name="Pod">Interval of the probability of detection; <c>null</c>: too often it would divide by nothing.</param>
/// <param name="Far">Interval of the false alarm ratio.</param>
/// <param name="Csi">Interval of the critical success index.</param>
/// <param name="Peirce">Interval of the Peirce skill score.</param>
public sealed record LimitScore(
    Counts Counts,
    (double Low, double High)? Pod,
    (double Low, double High)? Far,
    (double Low, double High)? Csi,
    (double Low, double High)? Peirce)
{
    internal static LimitScore Of(Counts[] seasons, Resampling draws)
    {
        return new LimitScore(
            Sum(seasons),
            Interval(counts => counts.Pod),
            Interval(counts => counts.Far),
            Interval(counts => counts.Csi),
            Interval(counts => counts.Peirce));

        (double, double)? Interval(Func<Counts, double?> score) => draws.Interval(drawn => score(Sum(seasons, drawn)));
    }

    internal static Counts Sum(ReadOnlySpan<Counts> seasons)
    {
        var sum = default(Counts);
        foreach (var one in seasons)
            sum += one;
        return sum;
    }

    private static Counts Sum(Counts[] seasons, ReadOnlySpan<int> drawn)
    {
        var sum = default(Counts);
        foreach (var season in drawn)
            sum += seasons[season];
        return sum;
    }
}
