using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Reporting;
using BackyardSentinel.Spraying;
using BackyardSentinel.Tuning;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Report;

/// <summary>A site's season to be told: what its watch and its almanac know, beside what the grower wrote.</summary>
public sealed class ReportFacts
{
    private readonly SeasonCalendar _calendar;
    private readonly Dictionary<string, SymptomDays> _symptomDays;

    /// <summary>Gathers the facts; on the thread of the watch.</summary>
    /// <param name="watch">The site's watch, fed until the moment.</param>
    /// <param name="almanacs">The almanacs, fed beside it.</param>
    /// <param name="journal">The journal's sound entries.</param>
    /// <param name="forecast">The forecast; <c>null</c>: none can be used.</param>
    /// <param name="at">The moment as of which it is told, UTC: a past season is told as of its end.</param>
    public ReportFacts(SiteWatch watch, AlmanacKeeper almanacs, IReadOnlyList<JournalEntry> journal, Forecast? forecast, DateTimeOffset at)
    {
        (Site, At, _calendar) = (watch.Site, at, new SeasonCalendar(watch.Site.LatitudeDeg ?? 0));
        var today = LocalDay.Of(at, Site.Zone);
        Season = YearFacts.SeasonOf(Site, today);
        Journal = [.. journal.Where(entry => entry.Site == Site.Id && entry.On <= today)];
        Slice = almanacs.Slice(watch, LocalDay.StartOf(Season.Start, Site.Zone), LocalDay.StartOf(Season.End, Site.Zone), withHours: false);
        Plantings = [.. watch.Plantings.Select(planting => new YearFacts(watch, planting, Slice, journal, forecast, at))];
        _symptomDays = watch.Plantings.ToDictionary(planting => planting.Planting.Id, planting => planting.SymptomDays);
        Ledger = SitePlan.Ledger(Site, Journal);
        Rules = [.. Site.RuleNames.Select(rule => (rule, Verify(rule)))];
    }

    /// <summary>The site.</summary>
    public Site Site { get; }

    /// <summary>As of when it is told, UTC.</summary>
    public DateTimeOffset At { get; }

    /// <summary>The season.</summary>
    public Season Season { get; }

    /// <summary>The site's entries of all seasons up to then.</summary>
    public IReadOnlyList<JournalEntry> Journal { get; }

    /// <summary>What is known of the weather; <c>null</c>: nothing was judged in the season.</summary>
    public AlmanacSlice? Slice { get; }

    /// <summary>The season of each planting.</summary>
    public IReadOnlyList<YearFacts> Plantings { get; }

    /// <summary>The sprays with their copper.</summary>
    public SprayLedger Ledger { get; }

    /// <summary>Every rule's windows set against what was found.</summary>
    public IReadOnlyList<(string Rule, Verification Verified)> Rules { get; }

    /// <summary>The season's sprays.</summary>
    public IEnumerable<SprayApplication> Sprays => Ledger.Applications.Where(spray => Season.Contains(spray.Entry.On));

    /// <summary>The season's looks and pickings, by day.</summary>
    public IEnumerable<JournalEntry> Looks => Journal
        .Where(entry => entry is ScoutEntry or PickEntry && Season.Contains(entry.On))
        .OrderBy(entry => entry.On)
        .ThenBy(entry => entry.Number);

    /// <summary>What scouting made of a window.</summary>
    public Outcome OutcomeOf(InfectionWindow window) =>
        Rules.Single(rule => rule.Rule == window.Rule).Verified.Windows.First(verified => verified.Window == window).Outcome;

    /// <summary>Hours judged, and hours of which temperature or wetness was not known.</summary>
    public (double Judged, double Missing) Hours => Slice is null
        ? (0, 0)
        : ((Slice.To - Slice.From).TotalHours, Slice.Missing.Sum(gap => gap.Length.TotalHours));

    private Verification Verify(string rule) => new(
        (Slice?.Plantings ?? []).SelectMany(planting => planting.Windows).Where(window =>
            window.Rule == rule && !window.Sheltered && Season.Contains(LocalDay.Of(window.OpenedAt, Site.Zone))),
        // A planting that is no longer in the garden has no windows, and blames no rule.
        Journal.OfType<ScoutEntry>().Where(entry => Season.Contains(entry.On) && Site.Has(entry.Planting)),
        Site.Zone,
        day => _calendar.SeasonOf(day)!.Value.Year,
        planting => _symptomDays[planting],
        WasMeasured);

    private bool WasMeasured(ScoutEntry look) =>
        Slice?.Plantings.FirstOrDefault(planting => planting.Planting == look.Planting) is { } own
        && Scouting.Looks.WasMeasured(
            look.On,
            Site.Zone,
            Slice.From,
            Slice.To,
            own.Levels.Where(held => held.Value.Level == Level.Unknown).Select(held => (held.From, held.To)));
}
