using BackyardSentinel.Garden;

namespace BackyardSentinel.Scouting;

/// <summary>Looks for curl as they count.</summary>
public static class Looks
{
    /// <summary>
    /// One planting on one day is one look, however often and in whose hand it was written down; curl that somebody found stays found.
    /// </summary>
    /// <param name="entries">The entries of one site.</param>
    public static IReadOnlyList<ScoutEntry> OnePerDay(IEnumerable<ScoutEntry> entries) =>
    [
        .. entries
            .GroupBy(entry => (entry.Planting, entry.On))
            .Select(day => day.MaxBy(entry => (double)entry.Curled / entry.Shoots)!),
    ];
}
