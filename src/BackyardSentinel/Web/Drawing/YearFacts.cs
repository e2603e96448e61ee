using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Reporting;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Web.Drawing;

/// <summary>One planting's season, as it is drawn and told.</summary>
public sealed class YearFacts
{
    /// <summary>From the first chill on so many months are shown.</summary>
    private const int Months = 9;

    /// <summary>Gaps are drawn from this length on.</summary>
    internal static readonly TimeSpan HalfADay = TimeSpan.FromHours(12);

    private readonly StagesAhead? _ahead;

    /// <summary>Gathers the facts; on the thread of the watch. What lies ahead is reckoned where it is asked for.</summary>
    /// <param name="watch">The site's watch.</param>
    /// <param name="planting">One of its plantings.</param>
    /// <param name="slice">What the almanac knows from the season's start on; <c>null</c>: nothing was judged.</param>
    /// <param name="journal">The journal's sound entries.</param>
    /// <param name="forecast">The forecast; <c>null</c>: none can be used.</param>
    /// <param name="now">Now, UTC.</param>
    public YearFacts(
        SiteWatch watch,
        PlantingWatch planting,
        AlmanacSlice? slice,
        IEnumerable<JournalEntry> journal,
        Forecast? forecast,
        DateTimeOffset now)
    {
        (Site, Planting, Now) = (watch.Site, planting.Planting, now);
        Today = LocalDay.Of(now, Site.Zone);
        Season = SeasonOf(Site, Today);
        Needs = planting.Stage.Model?.Needs;
        Slice = slice;
        Own = slice?.Plantings.FirstOrDefault(one => one.Planting == Planting.Id);
        Entries =
        [
            .. journal.Where(
                entry => entry.Site == Site.Id && entry.Planting == Planting.Id && Season.Contains(entry.On) && entry.On <= Today)
                .OrderBy(entry => entry.On)
                .ThenBy(entry => entry.Number),
        ];
        // Until something of this season has been judged the stages and sums are those of the last.
        var ofSeason = planting.Stage.Model is { Season: { } summed } && summed != Season ? null : planting.Stage.Model;
        (IsFollowed, StageDoubt, ChillMetOn) = (planting.Stage.Model is not null, planting.Stage.Doubt, ofSeason?.ChillMetOn);
        (Chill, HeatHours, ByHeatAlone) = (ofSeason?.ChillSum ?? 0, ofSeason?.HeatSum ?? 0, ofSeason?.ByHeatAlone == true);
        FellShort = ofSeason?.NeedsNotMet == true;
        HasBegun = ofSeason == planting.Stage.Model;
        IsUnseen = ClosedOn is null && planting.Stage.Open.ClosedOn is { } closed && Season.Contains(closed);
        _ahead = !IsUnseen && ofSeason is { } model
            ? new SwellOutlook(Site, watch.PastDays, watch.LastInterval is not null, forecast, now).StagesOf(model)
            : null;
        var first = Entries.Count > 0 && Entries[0].On < Season.ChillFrom ? Entries[0].On : Season.ChillFrom;
        FirstDay = new DateOnly(first.Year, first.Month, 1);
        LastDay = Season.ChillFrom.AddMonths(Months);
    }

    /// <summary>The site.</summary>
    public Site Site { get; }

    /// <summary>The planting.</summary>
    public Planting Planting { get; }

    /// <summary>Now, UTC.</summary>
    public DateTimeOffset Now { get; }

    /// <summary>The local day of now.</summary>
    public DateOnly Today { get; }

    /// <summary>The season.</summary>
    public Season Season { get; }

    /// <summary>First day shown.</summary>
    public DateOnly FirstDay { get; }

    /// <summary>First day no longer shown.</summary>
    public DateOnly LastDay { get; }

    /// <summary>The variety's needs; <c>null</c>: its stages are not followed.</summary>
    public StageNeeds? Needs { get; }

    /// <summary>What is known of the site; <c>null</c>: nothing.</summary>
    public AlmanacSlice? Slice { get; }

    /// <summary>What is known of the planting; <c>null</c>: nothing.</summary>
    public PlantingSlice? Own { get; }

    /// <summary>The planting's journal in the season up to today, by day.</summary>
    public IReadOnlyList<JournalEntry> Entries { get; }

    /// <summary>Something of the season has been judged; otherwise the planting still stands as it did at the end of the last.</summary>
    public bool HasBegun { get; }

    /// <summary>Its stages are followed.</summary>
    public bool IsFollowed { get; }

    /// <summary>Why no stage is known; <c>null</c> where one is, or none is followed.</summary>
    public Wording.Sentence? StageDoubt { get; }

    /// <summary>When chill was met, or taken as met.</summary>
    public DateOnly? ChillMetOn { get; }

    /// <summary>The days had grown long before chill was met: warmth alone counts.</summary>
    public bool ByHeatAlone { get; }

    /// <summary>The winter was measured, and brought less chill than the need.</summary>
    public bool FellShort { get; }

    /// <summary>Chill so far, in the units of the needs.</summary>
    public double Chill { get; }

    /// <summary>Warmth so far, degree hours.</summary>
    public double HeatHours { get; }

    /// <summary>The season was over before anything was measured: its stages, windows and end are not known.</summary>
    public bool IsUnseen { get; }

    /// <summary>The times are on one axis.</summary>
    public TimeAxis Axis => new(LocalDay.StartOf(FirstDay, Site.Zone), LocalDay.StartOf(LastDay, Site.Zone));

    /// <summary>What lies ahead; nothing where it cannot be told.</summary>
    public IReadOnlyList<SumsAhead> DaysAhead => Ahead.Days;

    /// <summary>The stages that a grower asks for, with their days where they can be told.</summary>
    public IReadOnlyList<(BudStage Stage, StageDates Dates)> Stages => Ahead.Stages;

    /// <summary>The last day on which the tree can be infected, if no warm week ends it sooner; <c>null</c>: it cannot be told.</summary>
    public DateOnly? OverAtTheLatest
    {
        get
        {
            var (tip, fall) = (DatesOf(BudStage.GreenTip).Late, DatesOf(BudStage.PetalFall).Late);
            return tip is null || fall is null ? null
                : tip.Value.AddDays(Infection.SusceptibleSeason.DaysAfterGreenTip) is var hard && hard > fall.Value.AddDays(1)
                    ? hard
                    : fall.Value.AddDays(1);
        }
    }

    /// <summary>When the season ended; <c>null</c>: it has not.</summary>
    public DateOnly? ClosedOn => Own?.Closings.LastOrDefault(closed => Season.Contains(closed.On))?.On;

    /// <summary>Hours in which it could be infected, and how many of them its level was not known.</summary>
    public (double Open, double Unknown) Exposed => (
        (Own?.Tissue ?? []).Where(held => held.Value.Susceptible).Sum(held => held.Length.TotalHours),
        (Own?.Levels ?? []).Where(held => held.Value.Level == Infection.Level.Unknown).Sum(held => held.Length.TotalHours));

    /// <summary>What was not known for half a day or more, the time before the first reading among it.</summary>
    public IEnumerable<(DateTimeOffset From, DateTimeOffset To)> LongGaps()
    {
        var (first, begins) = (Axis.From, Slice?.From ?? Now);
        if (begins - first >= HalfADay)
            yield return (first, begins);
        foreach (var gap in Slice?.Missing ?? [])
        {
            if (gap.Length >= HalfADay)
                yield return (gap.From, gap.To);
        }
    }

    private (IReadOnlyList<SumsAhead> Days, IReadOnlyList<(BudStage Stage, StageDates Dates)> Stages) Ahead =>
        _reckoned ??= _ahead?.Reckon() ?? ([], []);

    private (IReadOnlyList<SumsAhead> Days, IReadOnlyList<(BudStage Stage, StageDates Dates)> Stages)? _reckoned;

    /// <summary>The season of a local day; without a latitude that of the north.</summary>
    public static Season SeasonOf(Site site, DateOnly day) => new SeasonCalendar(site.LatitudeDeg ?? 0).SeasonOf(day)!.Value;

    /// <summary>The days of one of <see cref="Stages"/>.</summary>
    public StageDates DatesOf(BudStage stage) => Stages.FirstOrDefault(one => one.Stage == stage).Dates;

    /// <summary>The grower saw the stage, or a later one of the same buds, on the very day from which it counts.</summary>
    public bool IsSeen(BudStage stage, DateOnly? on) => on is not null && (Own?.Stages ?? []).Any(seen =>
        seen.Logged && seen.On == on && seen.Code >= stage.Code && BudStage.From(seen.Code).IsOfLeaves == stage.IsOfLeaves);
}
