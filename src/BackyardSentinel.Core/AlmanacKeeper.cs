using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Reporting;
using BackyardSentinel.Watching;

namespace BackyardSentinel;

/// <summary>
/// Keeps the almanacs of a season's sites: give <see cref="Note(SentinelEvent)"/> and <see cref="Note(SiteWatch)"/> to its feed.
/// </summary>
public sealed class AlmanacKeeper
{
    private readonly Dictionary<string, Kept> _kept;

    /// <summary>Begins almanacs in which nothing stands.</summary>
    /// <param name="sites">The sites.</param>
    public AlmanacKeeper(IEnumerable<Site> sites) =>
        _kept = sites.ToDictionary(site => site.Id, site => new Kept(site), StringComparer.Ordinal);

    /// <summary>An event was raised.</summary>
    public void Note(SentinelEvent fact) => _kept[fact.Site].Almanac.Note(fact);

    /// <summary>A watch has judged an interval.</summary>
    public void Note(SiteWatch watch) => _kept[watch.Site.Id].Note(watch);

    /// <summary>A copy of what is known of a time; <c>null</c>: nothing was judged yet.</summary>
    /// <param name="watch">The site's watch, as it stands.</param>
    /// <param name="from">From when, UTC.</param>
    /// <param name="to">Until when, UTC; cut at what is judged.</param>
    /// <param name="withHours">The hours are asked for; a season is told without them.</param>
    public AlmanacSlice? Slice(SiteWatch watch, DateTimeOffset from, DateTimeOffset to, bool withHours = true)
    {
        var almanac = _kept[watch.Site.Id].Almanac;
        return almanac.Begins is null
            ? null
            : almanac.Slice(
                from, to, watch.RunningSpell, [.. watch.Plantings.SelectMany(planting => planting.Risk.OpenWindows)], withHours);
    }

    /// <summary>One site's almanac, and how much of its watch is in it.</summary>
    private sealed class Kept(Site site)
    {
        private readonly PlantingMoment[] _moments = new PlantingMoment[site.Plantings.Count];
        private readonly SumsOfDay?[] _sums = new SumsOfDay?[site.Plantings.Count];
        private int _days;

        public Almanac Almanac { get; } = new(site);

        public void Note(SiteWatch watch)
        {
            for (var i = 0; i < _moments.Length; i++)
                _moments[i] = MomentOf(watch.Plantings[i]);
            var distrust = (watch.Doubts.Count > 0 ? Missing.Doubted : Missing.None)
                | (watch.Refusing.Count > 0 ? Missing.Refused : Missing.None)
                | (watch.RainUnknownSince is not null ? Missing.Rain : Missing.None);
            Almanac.Note(watch.LastInterval!.Value, watch.LastWetness!.Value, distrust, _moments);
            if (watch.PastDays.Count == _days)
                return;
            _days = watch.PastDays.Count;
            var day = watch.PastDays[^1];
            for (var i = 0; i < _sums.Length; i++)
            {
                _sums[i] = watch.Plantings[i].Stage.Model is { } model
                    ? new SumsOfDay(day.Day, model.ChillSum, model.HeatSum, model.ChillMetOn is not null || model.HeatSum > 0)
                    : null;
            }

            Almanac.DayOver(day, _sums);
        }

        private static PlantingMoment MomentOf(PlantingWatch planting) => new(
            planting.Level,
            planting.Since,
            new Tissue(planting.Stage.Buds, planting.Susceptibility > 0, planting.Shelter.IsOn),
            planting.CoverNow);
    }
}
