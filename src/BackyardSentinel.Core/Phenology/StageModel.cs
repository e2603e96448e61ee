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

    private readonly StageNeeds needs;
    private readonly SeasonCalendar calendar;
    private readonly StageObserved[] logged;
    private readonly Action<StageReached>? onReached;
    private readonly List<string> doubts = [];
    private StageSums sums;
    private int nextLog, toldLeaf, toldFlower;
    private DateTimeOffset now = DateTimeOffset.MinValue;
    private DateTimeOffset? lastEnd, countFrom;
    private DateOnly today;
    private DateOnly? countFromDay, firstLogOn, dormantOn;
    private BudStage? loggedLeaf, loggedFlower;
    private HourCounts counts;
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
        (this.needs, this.calendar, Zone, this.onReached) = (needs, calendar, zone, onReached);
        this.logged = [.. logged.OrderBy(seen => seen.On)];
        sums = new StageSums(needs);
    }

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
    public HourCounts Hours => countFrom is { } from && now > from
        ? counts with { Missing = counts.Missing + HoursBetween(Later(lastEnd, from), now) }
        : counts;

    /// <summary>Logged stages that were ignored, with the reason, a sentence each.</summary>
    public IReadOnlyList<string> Doubts => doubts;

    /// <summary>Why the stage is not known, a sentence; <c>null</c> where it is.</summary>
    public string? Doubt
    {
        get
        {
            if (IsKnown)
                return null;
            if (countFrom is null)
                return "The bud stage is unknown: without a latitude there is no season to count chill in; log a stage, or give the garden its latitude and longitude.";
            var hours = Hours;
            return string.Create(
                CultureInfo.InvariantCulture,
                $"The bud stage is unknown: of the {hours.Total} hours since {countFromDay:yyyy-MM-dd} only {hours.Total - hours.Lacking} are known, too few for the sums of chill and warmth; log a stage.");
        }
    }

    /// <summary>The site's time zone.</summary>
    internal TimeZoneInfo Zone { get; }

    /// <summary>End of the last hour, UTC.</summary>
    internal DateTimeOffset? LastEnd => lastEnd;

    private bool IsKnown => BeforeChill || IsTrusted || IsHeldDormant;

    /// <summary>The year before is over, the next has not begun.</summary>
    private bool BeforeChill => Season is { } season && today < season.ChillFrom;

    private bool IsTrusted => countFrom is not null && Hours.Trusted;

    private bool IsHeldDormant => dormantOn is { } on && today < on.AddDays(DormantHoldsDays)
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
        if (hour.Start < lastEnd)
            throw new ArgumentException("Hours must come in order.", nameof(hour));
        AdvanceTo(hour.Start);
        Count(hour);
        lastEnd = hour.End;

        // Hours filled in late over the turn of the season belong to the year that is over.
        var day = LocalDay.Of(hour.Start, Zone);
        if (Season is { } season && day < season.Start)
            return;
        sums.Add(day, hour, Season is { } s && day >= s.ChillFrom);
        Tell();
    }

    /// <summary>A copy of the sums that goes its own way: for looking ahead.</summary>
    internal StageSums CopySums() => sums.Copy();

    private void Count(in HourTemperature hour)
    {
        if (countFrom is not { } from || hour.Start < from)
            return;
        counts = counts with { Missing = counts.Missing + HoursBetween(Later(lastEnd, from), hour.Start) };
        counts = counts.With(hour.Source);
    }

    private void TurnSeason(DateOnly day)
    {
        var season = calendar.SeasonOf(day);
        var over = calendar.IsKnown ? season != Season : firstLogOn is { } first && day >= first.AddDays(DaysWithoutCalendar);
        if (!over)
            return;
        Season = season;
        sums = sums.NextSeason();
        (toldLeaf, toldFlower, counts, lastSource) = (0, 0, default, StageSource.Computed);
        (firstLogOn, dormantOn, loggedLeaf, loggedFlower) = (null, null, null, null);
        countFromDay = season?.ChillFrom;
        countFrom = season is { } s ? LocalDay.StartOf(s.ChillFrom, Zone) : null;
    }

    private void TakeUpLogs(DateOnly day)
    {
        // What was logged in seasons that are over, or before chill counts and so of the year before, says nothing now.
        var earliest = calendar.SeasonOf(day)?.ChillFrom ?? day.AddDays(-DaysWithoutCalendar);
        for (; nextLog < logged.Length && logged[nextLog].On <= day; nextLog++)
        {
            var seen = logged[nextLog];
            if (seen.On < earliest || seen.Stage.Code >= 91)
                continue; // Codes from 91 on are the end of a tree's year.
            TurnSeason(seen.On);
            TakeUp(seen);
        }
    }

    private void TakeUp(StageObserved seen)
    {
        var stage = seen.Stage;
        var isLeaf = stage.Code < 50;
        var isDormant = stage == BudStage.Dormant;
        var before = isDormant ? loggedLeaf ?? loggedFlower : isLeaf ? loggedLeaf : loggedFlower;
        if (before is { } b && stage.Code < b.Code)
        {
            doubts.Add(string.Create(
                CultureInfo.InvariantCulture,
                $"Stage {stage} logged for {seen.On:yyyy-MM-dd} lies behind stage {b} logged earlier in the season and is ignored; correct the journal entry that is wrong."));
            return;
        }

        var at = LocalDay.StartOf(seen.On, Zone);
        firstLogOn ??= seen.On;
        if (isDormant)
            dormantOn = seen.On;
        foreach (var track in sums.Tracks)
            Set(track, stage, isDormant, isAgain: before == stage, seen.On, at);

        if (!isDormant)
        {
            loggedLeaf = isLeaf ? stage : loggedLeaf;
            loggedFlower = isLeaf ? loggedFlower : stage;
            if (before != stage)
                (countFromDay, countFrom, counts) = (seen.On, at, default);
        }

        onReached?.Invoke(new StageReached(stage, seen.On, at, StageSource.Logged, seen.On, seen.On));
        (toldLeaf, toldFlower) = (
            isLeaf ? sums.Expected.LeafBuds.Stage.Code : Math.Min(toldLeaf, sums.Expected.LeafBuds.Stage.Code),
            !isLeaf || isDormant ? sums.Expected.FlowerBuds.Stage.Code : Math.Min(toldFlower, sums.Expected.FlowerBuds.Stage.Code));
        Tell();
        lastSource = StageSource.Logged;
    }

    private void Set(StageTrack track, BudStage stage, bool isDormant, bool isAgain, DateOnly on, DateTimeOffset at)
    {
        var (line, other) = stage.Code < 50 ? (track.LeafBuds, track.FlowerBuds) : (track.FlowerBuds, track.LeafBuds);
        if (isDormant || isAgain)
            line.HoldAt(stage);
        else
            line.SetTo(stage, on, at);
        if (isDormant)
            other.HoldAt(stage);
        else if (!isAgain && (stage.Code < 50 ? loggedFlower : loggedLeaf) is null)
            other.Follow(line.HeatSum, on, at);
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

    private static StageLine LineOf(StageTrack track, BudStage stage) => stage.Code < 50 ? track.LeafBuds : track.FlowerBuds;

    private static DateTimeOffset Later(DateTimeOffset? a, DateTimeOffset b) => a > b ? a.Value : b;

    private static int HoursBetween(DateTimeOffset from, DateTimeOffset to) =>
        to > from ? (int)((to - from).Ticks / TimeSpan.TicksPerHour) : 0;
}
