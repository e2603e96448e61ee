using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Reporting;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Web.Drawing;

/// <summary>One season of a planting beside its other ones.</summary>
/// <param name="Season">The season.</param>
/// <param name="Axis">Its months, as wide as those of the others.</param>
/// <param name="Sprays">The days on which it was sprayed.</param>
/// <param name="SwellSeen">The day on which the leaf buds were seen to swell, or to be further; <c>null</c>: nobody wrote it down.</param>
/// <param name="Looks">How often shoots were looked at.</param>
/// <param name="CurlFound">The first day on which curl was found; <c>null</c>: none was.</param>
/// <param name="Known">From when on the weather is known, UTC; <c>null</c>: of none of it.</param>
/// <param name="IsElsewhere">It lies before what is judged here; its report judges it.</param>
/// <param name="Gaps">What of it is not known after that, for half a day or more.</param>
/// <param name="IsPartlyUnknown">Its level was not known for some of the time in which it could be infected.</param>
/// <param name="Open">When it could be infected.</param>
/// <param name="Windows">Its windows by the rule that gives the level.</param>
public sealed record SeasonRow(
    Season Season,
    TimeAxis Axis,
    IReadOnlyList<DateOnly> Sprays,
    DateOnly? SwellSeen,
    int Looks,
    DateOnly? CurlFound,
    DateTimeOffset? Known,
    bool IsElsewhere,
    IReadOnlyList<Stretch<Missing>> Gaps,
    bool IsPartlyUnknown,
    IReadOnlyList<Stretch<Tissue>> Open,
    IReadOnlyList<InfectionWindow> Windows)
{
    /// <summary>No more seasons than these are set above each other.</summary>
    private const int Most = 6;

    /// <summary>The seasons of which anything is known, the newest first.</summary>
    /// <param name="year">The season in hand.</param>
    /// <param name="slice">What the almanac knows of it and the season before; <c>null</c>: nothing.</param>
    /// <param name="journal">The journal's sound entries, of all seasons.</param>
    public static IReadOnlyList<SeasonRow> Of(YearFacts year, AlmanacSlice? slice, IEnumerable<JournalEntry> journal)
    {
        var (site, zone) = (year.Site, year.Site.Zone);
        var entries = journal.Where(
            entry => entry.Site == site.Id && entry.Planting == year.Planting.Id && entry.On <= year.Today).ToList();
        var own = slice?.Plantings.FirstOrDefault(planting => planting.Planting == year.Planting.Id);
        List<SeasonRow> rows = [];
        for (var back = 0; back < Most; back++)
        {
            var season = YearFacts.SeasonOf(site, year.Season.Start.AddYears(-back));
            var (start, end) = (LocalDay.StartOf(season.Start, zone), LocalDay.StartOf(season.End, zone));
            var its = entries.Where(entry => season.Contains(entry.On)).OrderBy(entry => entry.On).ToList();
            var known = slice is not null && slice.From < end ? slice.From > start ? slice.From : start : (DateTimeOffset?)null;
            var gaps = (slice?.Missing ?? []).Where(gap => gap.From < end && gap.To > start).ToList();
            if (known is { } begins && IsAllMissing(gaps, begins, slice!.To < end ? slice.To : end))
                known = null;
            if (back > 0 && its.Count == 0 && known is null)
                break;
            rows.Add(new SeasonRow(
                season,
                new TimeAxis(LocalDay.StartOf(year.FirstDay.AddYears(-back), zone), LocalDay.StartOf(year.LastDay.AddYears(-back), zone)),
                [.. its.OfType<SprayEntry>().Select(spray => spray.On).Distinct()],
                its.OfType<StageEntry>().FirstOrDefault(stage => stage.Code is >= 1 and < 90)?.On,
                its.OfType<ScoutEntry>().Count(),
                its.OfType<ScoutEntry>().FirstOrDefault(look => look.Curled > 0)?.On,
                known,
                slice is null || slice.From >= end,
                [.. gaps.Where(gap => gap.Length >= YearFacts.HalfADay)],
                (own?.Levels ?? []).Any(held => held.Value.Level == Level.Unknown && held.From < end && held.To > start),
                [.. (own?.Tissue ?? []).Where(held => held.Value.Susceptible && held.From < end && held.To > start)],
                [
                    .. (own?.Windows ?? []).Where(window =>
                        !window.Sheltered && window.Rule == site.LevelRule && window.OpenedAt >= start && window.OpenedAt < end),
                ]));
        }

        return rows;
    }

    /// <summary>Nothing is known between two moments: what is missing follows one upon the other.</summary>
    private static bool IsAllMissing(IEnumerable<Stretch<Missing>> gaps, DateTimeOffset from, DateTimeOffset to)
    {
        foreach (var gap in gaps)
        {
            if (gap.From > from)
                break;
            from = gap.To > from ? gap.To : from;
        }

        return from >= to;
    }
}
