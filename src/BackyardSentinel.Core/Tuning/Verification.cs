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
    /// <param name="daysOf">A planting's days of infection and curl.</param>
    /// <param name="wasMeasured">The weather before a look was measured: without it no rule can be blamed for what it shows.</param>
    public Verification(
        IEnumerable<InfectionWindow> windows,
        IEnumerable<ScoutEntry> scouting,
        TimeZoneInfo zone,
        Func<DateOnly, int> seasonOf,
        Func<string, SymptomDays> daysOf,
        Func<ScoutEntry, bool> wasMeasured)
    {
        var opened = windows.Select(window => (Window: window, On: LocalDay.Of(window.OpenedAt, zone))).ToList();
        var looked = Looks.OnePerDay(scouting);

        Windows = [.. opened.Select(window => new VerifiedWindow(window.Window, Judge(window.Window, window.On)))];
        Hits = Count(Outcome.Hit);
        FalseAlarms = Count(Outcome.FalseAlarm);
        Unverified = Windows.Count - Hits - FalseAlarms;

        // Curl that no window can have brought.
        var unannounced = Looks.NewCurl(looked, seasonOf).Where(curl => !opened.Any(window =>
            window.Window.Planting == curl.Look.Planting
            && seasonOf(window.On) == seasonOf(curl.Look.On)
            && daysOf(curl.Look.Planting).CanHaveCome(curl.Look.On, curl.CleanOn, window.On))).ToList();
        Misses = unannounced.Count(curl => wasMeasured(curl.Look) && daysOf(curl.Look.Planting).Tells(curl.Look.On, curl.CleanOn));
        Blameless = unannounced.Count - Misses;
        CorrectNegatives = looked.Count(look => look.Curled == 0
            && !opened.Any(window => Belongs(look, window.Window, window.On, daysOf))
            && wasMeasured(look)
            && daysOf(look.Planting).Tells(look.On));

        int Count(Outcome outcome) => Windows.Count(window => window.Outcome == outcome);

        Outcome Judge(in InfectionWindow window, DateOnly on)
        {
            var outcome = Outcome.Unverified;
            foreach (var look in looked)
            {
                if (!Belongs(look, window, on, daysOf))
                    continue;
                if (look.Curled > 0)
                    return Outcome.Hit;
                // A tree that was covered stays clean for that reason, too: it says nothing against the rule.
                outcome = window.Cover is Cover.Fresh or Cover.Recheck ? Outcome.Covered : Outcome.FalseAlarm;
            }

            return outcome;
        }
    }

    /// <summary>Each window with its outcome, in the order given.</summary>
    public IReadOnlyList<VerifiedWindow> Windows { get; }

    /// <summary>Windows after which curl was found.</summary>
    public int Hits { get; }

    /// <summary>Windows after which none was found.</summary>
    public int FalseAlarms { get; }

    /// <summary>Curl that came out without a window that can have brought it.</summary>
    public int Misses { get; }

    /// <summary>
    /// The same where no rule is to blame: too little of the weather before was measured, or nothing could be infected. They enter no
    /// score.
    /// </summary>
    public int Blameless { get; }

    /// <summary>Windows nobody looked after, or whose tree a protectant may have kept clean; they enter no score.</summary>
    public int Unverified { get; }

    /// <summary>Scouting that found none and belongs to no window, while something could be infected.</summary>
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

    private static double? Ratio(int part, int whole) => whole > 0 ? (double)part / whole : null;

    private static bool Belongs(ScoutEntry look, in InfectionWindow window, DateOnly on, Func<string, SymptomDays> daysOf) =>
        look.Planting == window.Planting && daysOf(look.Planting).Shows(look.On, on);
}
