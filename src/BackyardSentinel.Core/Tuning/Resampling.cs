namespace BackyardSentinel.Tuning;

/// <summary>
/// Bootstrap intervals over seasons: plantings of one season share its weather, so the season is what is drawn again. The same
/// seed gives the same draws on every machine. Percentile intervals, Efron 1979, Annals of Statistics 7:1–26 (from memory);
/// with few seasons they come out too narrow.
/// </summary>
internal sealed class Resampling
{
    /// <summary>How often is drawn.</summary>
    public const int Draws = 2000;

    private readonly int[] _drawn;
    private readonly int _seasons;

    /// <summary>Draws.</summary>
    /// <param name="seasons">How many seasons there are.</param>
    /// <param name="seed">Where the draws begin.</param>
    public Resampling(int seasons, ulong seed)
    {
        _seasons = seasons;
        _drawn = new int[Draws * seasons];
        for (var i = 0; i < _drawn.Length; i++)
            _drawn[i] = (int)(Next(ref seed) % (ulong)seasons);
    }

    /// <summary>
    /// The middle of a figure over the draws; <c>null</c> where it has no value in more than one of 20, and of one season.
    /// </summary>
    /// <param name="figure">The figure of the seasons drawn; <c>null</c>: it would divide by nothing.</param>
    /// <param name="share">How much of the draws the middle holds, 0–1.</param>
    public (double Low, double High)? Interval(Func<ReadOnlySpan<int>, double?> figure, double share = 0.95)
    {
        // One season drawn again and again is always the same.
        if (_seasons < 2)
            return null;
        List<double> values = new(Draws);
        for (var i = 0; i < Draws; i++)
        {
            if (figure(_drawn.AsSpan(i * _seasons, _seasons)) is { } value)
                values.Add(value);
        }

        if (values.Count < Draws * 0.95)
            return null;
        values.Sort();
        var tail = (int)((1 - share) / 2 * values.Count);
        return (values[tail], values[values.Count - 1 - tail]);
    }

    /// <summary>The generator SplitMix64 (Steele, Lea and Flood 2014; the constants from memory).</summary>
    private static ulong Next(ref ulong state)
    {
        var mixed = state += 0x9E3779B97F4A7C15;
        mixed = (mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9;
        mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EB;
        return mixed ^ (mixed >> 31);
    }
}
