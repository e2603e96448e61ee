using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Scouting;

/// <summary>Looks for curl as they count.</summary>
public static class Looks
{
    /// <summary>
    /// A look says nothing of a rule where more than this share of the time in which its infection fell was not measured. Assumed.
    /// </summary>
    public const double MostUnknown = 0.2;

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

    /// <summary>Most of the time in which the infection fell that a look can show was measured.</summary>
    /// <param name="on">The look's local day.</param>
    /// <param name="zone">The site's zone.</param>
    /// <param name="from">From when on anything was judged, UTC.</param>
    /// <param name="to">Until when, UTC.</param>
    /// <param name="unknown">What was not known within, UTC.</param>
    public static bool WasMeasured(
        DateOnly on,
        TimeZoneInfo zone,
        DateTimeOffset from,
        DateTimeOffset to,
        IEnumerable<(DateTimeOffset From, DateTimeOffset To)> unknown)
    {
        var begin = LocalDay.StartOf(on.AddDays(-Incubation.LastDay), zone);
        var end = LocalDay.StartOf(on.AddDays(1 - Incubation.FirstDay), zone);
        var known = TimeSpan.Zero;
        if (from < to)
            known = Overlap(from, to) - unknown.Aggregate(TimeSpan.Zero, (sum, gap) => sum + Overlap(gap.From, gap.To));
        return end - begin - known <= MostUnknown * (end - begin);

        TimeSpan Overlap(DateTimeOffset first, DateTimeOffset last)
        {
            var length = (last < end ? last : end) - (first > begin ? first : begin);
            return length > TimeSpan.Zero ? length : TimeSpan.Zero;
        }
    }
}
