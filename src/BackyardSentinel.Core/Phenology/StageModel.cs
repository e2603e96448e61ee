using System.Globalization;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// The bud stages of one planting, hour by hour: chill to a need, then warmth from one stage to the next, in an early, an
/// expected and a late track. What the grower logged beats what is computed from its day on, and the model counts on from
/// there. Where the sums cannot be trusted the stage is unknown until one is logged.
/// </summary>
/// <remarks>
/// Leaf buds and flower buds run side by side. A logged stage of one sets the other as well, with the same warmth, unless
/// that one was logged itself. A logged "dormant", and a stage logged again, only hold the sum below the next need. A log
/// that is corrected later is a new model fed from the start.
/// </remarks>
public sealed class StageModel
{
    /// <summary>Where the sums are not trusted a tree seen dormant counts as dormant for so many days. Assumed.</summary>
    public const int DormantHoldsDays = 7;

    /// <summary>Without a calendar a season begins with a logged stage and is over after so many days. Assumed.</summary>
    public const int DaysWithoutCalendar = 240;

    private readonly SeasonCalendar calendar;
    private readonly StageLog log;
    private readonly Action<StageReached>? onReached;
    private readonly HourTally tally = new();
    private StageSums sums;
    private int toldLeaf, toldFlower;
    private DateTimeOffset now = DateTimeOffset.MinValue;
    private DateOnly today;
    private StageSource lastSource = StageSource.Computed;

    /// <summary>Starts a model.</summary>
    /// <param name="needs">What the variety needs.</param>
    /// <param name="calendar">The calendar of the place.</param>
    /// <param name="zone">The site's time zone, in which days are counted.</param>
    /// <param name="logged">What the grower logged, any order; of one day's stages the later in the list is the later seen.</param>
    /// <param name="onReached">Gets each stage as it is reached.</param>
    public StageModel(
        StageNeeds needs,
        SeasonCalendar calendar,
        TimeZoneInfo zone,
        IEnumerable<StageObserved> logged,
        Action<StageReached>? onReached = null)
    {
        (Needs, this.calendar, Zone, this.onReached) = (needs, calendar, zone, onReached);
        log = new StageLog(logged);
        sums = new StageSums(needs);
    }

    /// <summary>What the variety needs.</summary>
    public StageNeeds Needs { get; }

    /// <summary>The season, once time has begun; <c>null</c> without a calendar.</summary>
    public Season? Season { get; private set; }

    /// <summary>The leaf buds and the shoots, 00–39; <c>null</c>: not known.</summary>
    public BudStage? LeafBud => IsKnown ? sums.Expected.LeafBuds.Stage : null;

    /// <summary>The flower buds and the fruit, 00 and 51–89; <c>null</c>: not known.</summary>
    public BudStage? FlowerBud => IsKnown ? sums.Expected.FlowerBuds.Stage : null;

    /// <summary>Whether the last stage reached was computed or logged, or nothing is known.</summary>
    public StageSource Source => IsKnown ? lastSource : StageSource.Unknown;

    /// <summary>The season's chill so far, in the units of the needs.</summary>
    public double ChillSum => sums.ChillSum;

    /// <summary>The local day on which the chill need was met, if it was.</summary>
    public DateOnly? ChillMetOn => sums.Expected.ChillMetOn;

    /// <summary>Warmth of the leaf buds since then or since a logged stage, degree hours.</summary>
    public double HeatSum => sums.Expected.LeafBuds.HeatSum;

    /// <summary>Since when leaf tips are green (BBCH 09 or later), UTC; <c>null</c> before, or where it is not known.</summary>
    public DateTimeOffset? GreenTipAt => IsKnown ? sums.Expected.LeafBuds.Reached(BudStage.GreenTip)?.At : null;

    /// <summary>Since when all petals are down (BBCH 69 or later), UTC; <c>null</c> before, or where it is not known.</summary>
    public DateTimeOffset? PetalFallAt => IsKnown ? sums.Expected.FlowerBuds.Reached(BudStage.PetalFall)?.At : null;

    /// <summary>How well the hours are known since chill began to count or, after it, since the last stage that was set.</summary>
    public HourCounts Hours => tally.At(now);

    /// <summary>Logged stages that were ignored, with the reason, a sentence each.</summary>
    public IReadOnlyList<string> Doubts => log.Doubts;

    /// <summary>Why the stage is not known, a sentence; <c>null</c> where it is.</summary>
    public string? Doubt
    {
        get
        {
            if (IsKnown)
                return null;
            if (tally.FromDay is null)
                return "The bud stage is unknown: without a latitude there is no season to count chill in; log a stage, or give the garden its latitude and longitude.";
            var hours = Hours;
            var known = hours.Total - (log.HasStart ? hours.Missing : hours.Lacking);
            return string.Create(
                CultureInfo.InvariantCulture,
                $"The bud stage is unknown: of the {hours.Total} hours since {tally.FromDay:yyyy-MM-dd} only {known} are known, too few for the sums of chill and warmth; log a stage.");
        }
    }

    /// <summary>The site's time zone.</summary>
    internal TimeZoneInfo Zone { get; }

    /// <summary>End of the last hour, UTC.</summary>
    internal DateTimeOffset? LastEnd => tally.LastEnd;

    private bool IsKnown => BeforeChill || IsTrusted || IsHeldDormant;

    /// <summary>The year before is over, the next has not begun.</summary>
    private bool BeforeChill => Season is { } season && today < season.ChillFrom;

    private bool IsTrusted => tally.FromDay is not null && (log.HasStart ? Hours.TrustedSinceSeen : Hours.Trusted);

    private bool IsHeldDormant => log.DormantOn is { } on && today < on.AddDays(DormantHoldsDays)
        && sums.Expected.LeafBuds.Stage == BudStage.Dormant && sums.Expected.FlowerBuds.Stage == BudStage.Dormant;

    /// <summary>When the tracks reached a stage of this season, or a later one.</summary>
    public StageDates DatesOf(BudStage stage) => new(
        LineOf(sums.Early, stage).Reached(stage)?.On,
        LineOf(sums.Expected, stage).Reached(stage)?.On,
        LineOf(sums.Late, stage).Reached(stage)?.On);

    /// <summary>Time passed, with or without hours: turns the season and takes up what was logged until then.</summary>
    public void AdvanceTo(DateTimeOffset at)
    {
        // Hours that were filled in late lie before what is known of the calendar already.
        if (at < now)
            return;
        var day = LocalDay.Of(at, Zone);
        if (day != today)
        {
            TakeUpLogs(day);
            TurnSeason(day);
        }

        (now, today) = (at, day);
    }

    /// <summary>Takes the next hour. Hours may leave holes but must not run backwards.</summary>
    public void Add(in HourTemperature hour)
    {
        if (hour.Start < LastEnd)
            throw new ArgumentException("Hours must come in order.", nameof(hour));
        AdvanceTo(hour.Start);
        tally.Add(hour);

        // Hours filled in late over the turn of the season belong to the year that is over.
        var day = LocalDay.Of(hour.Start, Zone);
        if (Season is { } season && day < season.Start)
            return;
        sums.Add(day, hour, Season is { } s && day >= s.ChillFrom);
        Tell();
    }

    /// <summary>A copy of the sums that goes its own way: for looking ahead.</summary>
    internal StageSums CopySums() => sums.Copy();

    private void TurnSeason(DateOnly day)
    {
        var season = calendar.SeasonOf(day);
        var over = calendar.IsKnown ? season != Season : log.FirstOn is { } first && day >= first.AddDays(DaysWithoutCalendar);
        if (!over)
            return;
        Season = season;
        sums = sums.NextSeason();
        (toldLeaf, toldFlower, lastSource) = (0, 0, StageSource.Computed);
        log.Forget();
        tally.StartAt(season?.ChillFrom, Zone);
    }

    private void TakeUpLogs(DateOnly day)
    {
        // What was logged in seasons that are over, or before chill counts and so of the year before, says nothing now.
        var earliest = calendar.SeasonOf(day)?.ChillFrom ?? day.AddDays(-DaysWithoutCalendar);
        while (log.TryTake(day, earliest, out var seen))
        {
            TurnSeason(seen.On);
            TakeUp(seen);
        }
    }

    private void TakeUp(StageObserved seen)
    {
        var at = LocalDay.StartOf(seen.On, Zone);
        if (!log.TakeUp(seen, at, sums, out var starts))
            return;
        if (starts)
            tally.StartAt(seen.On, Zone);

        onReached?.Invoke(new StageReached(seen.Stage, seen.On, at, StageSource.Logged, seen.On, seen.On));
        // The stage has been told; one of the other buds that follows from it is told as computed.
        var (leaf, flower) = (sums.Expected.LeafBuds.Stage.Code, sums.Expected.FlowerBuds.Stage.Code);
        (toldLeaf, toldFlower) = seen.Stage.IsOfLeaves ? (leaf, Math.Min(toldFlower, flower)) : (Math.Min(toldLeaf, leaf), flower);
        Tell();
        lastSource = StageSource.Logged;
    }

    private void Tell()
    {
        if (!IsTrusted)
            return;
        toldLeaf = Tell(sums.Expected.LeafBuds, toldLeaf);
        toldFlower = Tell(sums.Expected.FlowerBuds, toldFlower);
    }

    private int Tell(StageLine line, int told)
    {
        foreach (var pass in line.Passed)
        {
            if (pass.Stage.Code <= told)
                continue;
            told = pass.Stage.Code;
            lastSource = StageSource.Computed;
            var dates = DatesOf(pass.Stage);
            onReached?.Invoke(new StageReached(pass.Stage, pass.On, pass.At, StageSource.Computed, dates.Early, dates.Late));
        }

        return told;
    }

    private static StageLine LineOf(StageTrack track, BudStage stage) => stage.IsOfLeaves ? track.LeafBuds : track.FlowerBuds;
}
