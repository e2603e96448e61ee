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

    /// <summary>
    /// Curl that came out since the look before, which found none: each first find of a season, and each after a clean look. What is
    /// seen again was there before.
    /// </summary>
    /// <param name="looks">Looks of one site, one a day.</param>
    /// <param name="seasonOf">The season that a local day belongs to.</param>
    public static IEnumerable<(ScoutEntry Look, DateOnly? CleanOn)> NewCurl(IEnumerable<ScoutEntry> looks, Func<DateOnly, int> seasonOf)
    {
        foreach (var season in looks.OrderBy(look => look.On).GroupBy(look => (look.Planting, seasonOf(look.On))))
        {
            ScoutEntry? before = null;
            foreach (var look in season)
            {
                if (look.Curled > 0 && before is null or { Curled: 0 })
                    yield return (look, before?.On);
                before = look;
            }
        }
    }

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
