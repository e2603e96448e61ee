using System.Globalization;

namespace BackyardSentinel.Tuning;

/// <summary>Whether limits that were found are worth taking. It errs on the side of the present ones.</summary>
/// <param name="Recommended">They are.</param>
/// <param name="Why">Why, or why not and what it would take: a few sentences.</param>
/// <param name="Looks">Looks that tell something of a rule: up to the first of a season that found curl.</param>
/// <param name="Needed">How many it takes, by what is known so far; <c>null</c>: there are enough, or no number can be told.</param>
public readonly record struct TuneVerdict(bool Recommended, string Why, LookCounts Looks, int? Needed)
{
    /// <summary>Fewest seasons: leaving one out must leave three to learn from. Assumed.</summary>
    public const int FewestSeasons = 4;

    /// <summary>
    /// Fewest looks for each limit that is varied: the ten cases a variable of Peduzzi and others 1996, Journal of Clinical
    /// Epidemiology 49:1373–1379 (from memory), a rule of thumb for regressions that is assumed to suit.
    /// </summary>
    public const int FewestForEachLimit = 10;

    /// <summary>Fewest looks with curl, and fewest without: where all came out alike there is nothing to tell apart. Assumed.</summary>
    public const int FewestOfEach = 4;

    /// <summary>
    /// What is found must hold in so many of the draws, 99 of 100: with few seasons their intervals are too narrow. Assumed.
    /// </summary>
    public const double Sure = 0.99;

    internal static TuneVerdict Of(
        LimitSearch search,
        int seasons,
        LookCounts looks,
        double saved,
        (double Low, double High)? savedLies,
        (double Low, double High)? skillLies)
    {
        var (all, fewest) = (looks.Curl + looks.Clean, FewestForEachLimit * search.Axes.Count);
        if (seasons < FewestSeasons || all < fewest || Math.Min(looks.Curl, looks.Clean) < FewestOfEach)
        {
            return No(
                $"Looks that tell something: {all} in {Count(seasons, "season")}, {looks.Curl} of them with curl. "
                + $"To vary {Count(search.Axes.Count, "limit")} takes {fewest} or more in {FewestSeasons} seasons, "
                + $"{FewestOfEach} of them with curl and {FewestOfEach} without.",
                all < fewest ? fewest : null);
        }

        if (search.Found(0) == search.Present)
            return No("No limits that were tried would have cost less than the present ones.", null);
        if (saved <= 0)
            return No(
                "In seasons that the search had not seen, the limits found would have cost as much as the present ones or more.", null);
        if (savedLies is not { Low: > 0 } sure)
            return No(
                "In seasons that the search had not seen, the limits found would have cost less, but by no more than chance may do.",
                ByWidth(all, saved, savedLies));
        if (skillLies is not { Low: > 0 })
            return No(
                "In seasons that the search had not seen, windows by the limits found would have come before curl "
                + "hardly more often than before clean shoots: a rule that warns more or less often, but no better.",
                ByWidth(all, looks.Skill ?? 0, skillLies));
        return new TuneVerdict(
            true,
            string.Create(
                CultureInfo.InvariantCulture,
                $"In seasons that the search had not seen, the limits found would have cost {saved:0.0} false alarms a season less ")
            + string.Create(CultureInfo.InvariantCulture, $"than the present ones (99 of 100 draws: {sure.Low:0.0} to {sure.High:0.0})."),
            looks,
            null);

        TuneVerdict No(string why, int? needed) => new(
            false,
            needed is { } many && many > fewest ? $"{why} If it goes on like that, about {many} looks would tell." : why,
            looks,
            needed);
    }

    /// <summary>An interval shrinks with the root of the number of cases; <c>null</c>: no number would do.</summary>
    private static int? ByWidth(int cases, double figure, (double Low, double High)? interval)
    {
        if (interval is not { } wide || figure <= 0)
            return null;
        var times = Math.Pow((figure - wide.Low) / figure, 2);
        return times is > 1 and < 20 ? (int)Math.Ceiling(cases * times) : null;
    }

    private static string Count(int n, string noun) => string.Create(CultureInfo.InvariantCulture, $"{n} {noun}{(n == 1 ? "" : "s")}");
}
