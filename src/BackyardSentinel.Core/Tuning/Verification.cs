using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Scouting;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tuning;

/// <summary>
/// One rule's windows set against scouting, with the scores of forecast verification (names of the World Meteorological
/// Organization's joint working group on it). A score is <c>null</c> where its counts divide by nothing. Always show the
/// counts beside a score: a garden has few. Curled leaves stay on the tree for weeks, so curl that one window brought can
/// make a hit of the next one too.
/// </summary>
public sealed class Verification
{
    /// <summary>Sets windows against scouting.</summary>
    /// <param name="windows">Windows of one rule, of any plantings and seasons.</param>
    /// <param name="scouting">Scouting of the same plantings.</param>
    /// <param name="zone">The site's zone; days are counted in it.</param>
    /// <param name="seasonOf">The season that a local day belongs to.</param>
    /// <param name="countedFrom">
    /// From which day on a planting's symptom days are counted for a window that opened on a day: <see cref="LeafDays.CountedFrom"/>.
    /// </param>
    /// <param name="wasMeasured">The weather before a look was measured: without it no rule can be blamed for what it shows.</param>
    public Verification(
        IEnumerable<InfectionWindow> windows,
        IEnumerable<ScoutEntry> scouting,
        TimeZoneInfo zone,
        Func<DateOnly, int> seasonOf,
        Func<string, DateOnly, DateOnly> countedFrom,
        Func<ScoutEntry, bool> wasMeasured)
    {
        var opened = windows
            .Select(window => (Window: window, On: LocalDay.Of(window.OpenedAt, zone)))
            .Select(one => (one.Window, one.On, From: countedFrom(one.Window.Planting, one.On)))
            .ToList();
        var looked = Looks.OnePerDay(scouting);

        Windows = [.. opened.Select(window => new VerifiedWindow(window.Window, Judge(window.Window, window.From, looked)))];
        Hits = Count(Outcome.Hit);
        FalseAlarms = Count(Outcome.FalseAlarm);
        Unverified = Count(Outcome.Unverified);

        // Curl that no window can have brought, by the first of each planting and season: curled leaves stay to be seen again.
        var unannounced = looked
            .Where(entry => entry.Curled > 0)
            .GroupBy(entry => (entry.Planting, Season: seasonOf(entry.On)))
            .Select(season => season.MinBy(entry => entry.On)!)
            .Where(entry => !opened.Any(window => window.Window.Planting == entry.Planting
                && seasonOf(window.On) == seasonOf(entry.On) && entry.On.DayNumber - window.On.DayNumber >= Incubation.FirstDay))
            .ToList();
        Misses = unannounced.Count(wasMeasured);
        NotMeasured = unannounced.Count - Misses;
        CorrectNegatives = looked.Count(entry =>
            entry.Curled == 0 && !opened.Any(window => Belongs(entry, window.Window, window.From)) && wasMeasured(entry));

        int Count(Outcome outcome) => Windows.Count(window => window.Outcome == outcome);
    }

    /// <summary>Each window with its outcome, in the order given.</summary>
    public IReadOnlyList<VerifiedWindow> Windows { get; }

    /// <summary>Windows after which curl was found.</summary>
    public int Hits { get; }

    /// <summary>Windows after which none was found.</summary>
    public int FalseAlarms { get; }

    /// <summary>Plantings and seasons with curl that no window had announced.</summary>
    public int Misses { get; }

    /// <summary>The same where too little of the weather before was measured to blame a rule; they enter no score.</summary>
    public int NotMeasured { get; }

    /// <summary>Windows nobody looked after, or whose tree a protectant may have kept clean; they enter no score.</summary>
    public int Unverified { get; }

    /// <summary>Scouting that found none and belongs to no window.</summary>
    public int CorrectNegatives { get; }

    /// <summary>Probability of detection, 0–1: hits / (hits + misses).</summary>
    public double? Pod => PodOf(Hits, Misses);

    /// <summary>False alarm ratio, 0–1: false alarms / (hits + false alarms).</summary>
    public double? Far => FarOf(Hits, FalseAlarms);

    /// <summary>Critical success index, 0–1: hits / (hits + misses + false alarms).</summary>
    public double? Csi => CsiOf(Hits, Misses, FalseAlarms);

    /// <summary>Peirce skill score, -1 to 1: probability of detection less probability of false detection.</summary>
    public double? Peirce => PeirceOf(Hits, Misses, FalseAlarms, CorrectNegatives);

    /// <summary>Probability of detection from counts.</summary>
    public static double? PodOf(int hits, int misses) => Ratio(hits, hits + misses);

    /// <summary>False alarm ratio from counts.</summary>
    public static double? FarOf(int hits, int falseAlarms) => Ratio(falseAlarms, hits + falseAlarms);

    /// <summary>Critical success index from counts.</summary>
    public static double? CsiOf(int hits, int misses, int falseAlarms) => Ratio(hits, hits + misses + falseAlarms);

    /// <summary>Peirce skill score from counts.</summary>
    public static double? PeirceOf(int hits, int misses, int falseAlarms, int correctNegatives) =>
        PodOf(hits, misses) - Ratio(falseAlarms, falseAlarms + correctNegatives);

    /// <summary>
    /// What a look shows can be held against a rule: the weather before was measured, or one of the rules has announced it.
    /// </summary>
    /// <param name="look">The look.</param>
    /// <param name="windows">The windows of all rules.</param>
    /// <param name="zone">The site's zone.</param>
    /// <param name="countedFrom">As above.</param>
    /// <param name="from">From when on anything was judged, UTC.</param>
    /// <param name="to">Until when, UTC.</param>
    /// <param name="unknown">When the level of the look's planting was not known.</param>
    public static bool IsTold(
        ScoutEntry look,
        IEnumerable<InfectionWindow> windows,
        TimeZoneInfo zone,
        Func<string, DateOnly, DateOnly> countedFrom,
        DateTimeOffset from,
        DateTimeOffset to,
        IEnumerable<(DateTimeOffset From, DateTimeOffset To)> unknown)
    {
        ArgumentNullException.ThrowIfNull(look);
        return windows.Any(window => Belongs(look, window, countedFrom(window.Planting, LocalDay.Of(window.OpenedAt, zone))))
            || Looks.WasMeasured(look.On, zone, from, to, unknown);
    }

    private static double? Ratio(int part, int whole) => whole > 0 ? (double)part / whole : null;

    private static Outcome Judge(in InfectionWindow window, DateOnly from, IReadOnlyList<ScoutEntry> looked)
    {
        var outcome = Outcome.Unverified;
        foreach (var entry in looked)
        {
            if (!Belongs(entry, window, from))
                continue;
            if (entry.Curled > 0)
                return Outcome.Hit;
            // A tree that was covered stays clean for that reason, too: it says nothing against the rule.
            if (window.Cover is not (Cover.Fresh or Cover.Recheck))
                outcome = Outcome.FalseAlarm;
        }

        return outcome;
    }

    private static bool Belongs(ScoutEntry entry, in InfectionWindow window, DateOnly from) =>
        entry.Planting == window.Planting && entry.On.DayNumber - from.DayNumber is >= Incubation.FirstDay and <= Incubation.LastDay;
}
