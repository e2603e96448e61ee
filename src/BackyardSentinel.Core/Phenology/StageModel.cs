using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// The bud stages of one planting, hour by hour: chill to a need, then warmth from one stage to the next, for the earliest,
/// the expected and the latest tree. A sum with holes is not unknown: the earliest tree takes the most that a hole can have
/// brought, the latest one nothing that is not sure. What the grower saw holds for all three from its day on.
/// </summary>
/// <remarks>
/// Leaf buds and flower buds run side by side. A seen stage of one sets the other as well, with the same warmth, unless
/// that one was seen itself. What becomes known beside a hole later moves the sums of the season in hand; a journal that is
/// corrected later is a new model fed from the start.
/// </remarks>
public sealed class StageModel
{
    /// <summary>Without a calendar a season begins with a seen stage and is over after so many days. Assumed.</summary>
    public const int DaysWithoutCalendar = 240;

    /// <summary>A gap up to so many hours is a straight line and no hole.</summary>
    private const int LongestGapHours = HourlyTemperature.LongestStraightGapHours;

    /// <summary>More missing chill hours than this, three days, and a sum of chill that falls short says nothing of the needs. ASSUMED.</summary>
    private const int HarmlessHours = 72;

    private readonly SeasonCalendar calendar;
    private readonly StageLog log;
    private readonly SeasonHours hours;
    private readonly Action<StageReached>? onReached;
    private readonly List<StageLog.Taken> taken = [];
    private StageSums atStart, sums;
    private int toldLeaf, toldFlower;
    private DateTimeOffset now = DateTimeOffset.MinValue;
    private DateTimeOffset? lastKnownEnd;
    private DateOnly today, summedDay, sumDay;
    private StageSource lastSource = StageSource.Computed;
    private bool hasBegun, chillCounts;
    private double? lengtheningHours;
    private double mostHeat;

    /// <summary>Starts a model.</summary>
    /// <param name="needs">What the variety needs.</param>
    /// <param name="calendar">The calendar of the place.</param>
    /// <param name="zone">The site's time zone, in which days are counted.</param>
    /// <param name="seen">What the grower saw, any order; of one day's stages the later in the list is the later seen.</param>
    /// <param name="onReached">Gets each stage as the expected tree reaches it, or as it was seen.</param>
    /// <param name="usual">The usual year of the place; <c>null</c>: nobody gave one.</param>
    public StageModel(
        StageNeeds needs,
        SeasonCalendar calendar,
        TimeZoneInfo zone,
        IEnumerable<StageObserved> seen,
        Action<StageReached>? onReached = null,
        UsualHours? usual = null)
    {
        (Needs, this.calendar, Zone, this.onReached) = (needs, calendar, zone, onReached);
        log = new StageLog(seen);
        hours = new SeasonHours(zone, usual);
        sums = atStart = new StageSums(needs);
        HasUsualYear = usual is not null;
    }

    /// <summary>What the variety needs.</summary>
    public StageNeeds Needs { get; }

    /// <summary>A usual year stands in where nothing was measured.</summary>
    public bool HasUsualYear { get; }

    /// <summary>The season, once time has begun; <c>null</c> without a calendar.</summary>
    public Season? Season { get; private set; }

    /// <summary>Whether the leaf buds are shut, may be open or are open.</summary>
    public BudState Buds => sums.Latest.LeafBuds.Stage.Code >= 1 ? BudState.Open
        : sums.Earliest.LeafBuds.Stage.Code >= 1 || !IsKnown ? BudState.MayBeOpen
        : BudState.Shut;

    /// <summary>The leaf buds and the shoots of the expected tree, 00–39; <c>null</c>: not known.</summary>
    public BudStage? LeafBud => IsKnown ? sums.Expected.LeafBuds.Stage : null;

    /// <summary>The flower buds and the fruit of the expected tree, 00 and 51–89; <c>null</c>: not known.</summary>
    public BudStage? FlowerBud => IsKnown ? sums.Expected.FlowerBuds.Stage : null;

    /// <summary>Whether the last stage reached was computed or seen, or nothing is known.</summary>
    public StageSource Source => IsKnown ? lastSource : StageSource.Unknown;

    /// <summary>The season's expected chill so far, in the units of the needs.</summary>
    public double ChillSum => sums.Expected.ChillSum;

    /// <summary>The local day on which the chill need was met, or taken as met, for the expected tree.</summary>
    public DateOnly? ChillMetOn => sums.Expected.ChillMetOn;

    /// <summary>Warmth of the expected leaf buds since then or since a seen stage, degree hours.</summary>
    public double HeatSum => sums.Expected.LeafBuds.HeatSum;

    /// <summary>The need was taken as met on <see cref="ChillMetOn"/>, because the days had grown long; the sum fell short of it.</summary>
    public bool ByHeatAlone => sums.Expected.ByHeatAlone;

    /// <summary>
    /// The winter, well enough measured to tell, brought less chill than the need: warmth alone moves the buds. The needs
    /// are not right for the place, or it is the wrong variety.
    /// </summary>
    public bool NeedsNotMet => sums.Expected.ByHeatAlone && sums.Unfilled <= HarmlessHours;

    /// <summary>Hours in which chill counts that were not measured and for which nothing stands in.</summary>
    public int UnknownChillHours => sums.Unfilled;

    /// <summary>The local day on which leaf tips are green (BBCH 09 or later) even on the latest tree.</summary>
    public DateOnly? GreenTipOn => sums.Latest.LeafBuds.Reached(BudStage.GreenTip)?.On;

    /// <summary>The local day on which all petals are down (BBCH 69 or later) even on the latest tree.</summary>
    public DateOnly? PetalFallOn => sums.Latest.FlowerBuds.Reached(BudStage.PetalFall)?.On;

    /// <summary>Seen stages that were ignored, with the reason, a sentence each.</summary>
    public IReadOnlyList<string> Doubts => log.Doubts;

    /// <summary>Why no stage is known, a sentence; <c>null</c> where one is.</summary>
    public string? Doubt => IsKnown ? null
        : calendar.IsKnown ? "The bud stage is unknown: nothing has been measured yet."
        : "The bud stage is unknown: without a latitude there is no season to count chill in; log a stage, or give the garden its latitude and longitude.";

    /// <summary>The site's time zone.</summary>
    internal TimeZoneInfo Zone { get; }

    /// <summary>Until when the sums go, UTC; <c>null</c> before time has begun.</summary>
    internal DateTimeOffset? SummedUntil => hasBegun ? hours.End : null;

    /// <summary>End of the last known hour, UTC.</summary>
    internal DateTimeOffset? LastEnd => lastKnownEnd;

    private bool IsKnown => hasBegun && (calendar.IsKnown || log.FirstOn is not null);

    /// <summary>When the three trees reached a stage of this season, or a later one.</summary>
    public StageDates DatesOf(BudStage stage) => new(
        LineOf(sums.Earliest, stage).Reached(stage)?.On,
        LineOf(sums.Expected, stage).Reached(stage)?.On,
        LineOf(sums.Latest, stage).Reached(stage)?.On);

    /// <summary>Time passed, with or without hours: turns the season, takes up what was seen until then, and sums up holes.</summary>
    public void AdvanceTo(DateTimeOffset at)
    {
        // Hours that were filled in late lie before what is known of the calendar already.
        if (at < now)
            return;
        var day = LocalDay.Of(at, Zone);
        if (day != today || !hasBegun)
            AdvanceToDay(day, at);
        (now, today) = (at, day);
    }

    /// <summary>Takes the next hour. Hours may leave holes but must not run backwards.</summary>
    public void Add(in HourTemperature hour)
    {
        if (hour.Start < lastKnownEnd)
            throw new ArgumentException("Hours must come in order.", nameof(hour));
        AdvanceTo(hour.Start);
        if (hour.Source is HourSource.Measured or HourSource.Interpolated)
            lastKnownEnd = hour.End;

        // What was summed up as a hole, and hours of a season that is over, stay as they are.
        if (hour.Start < hours.End)
            return;
        while (hours.End < hour.Start)
            Append(double.NaN);
        Append(hour.Source is HourSource.Measured or HourSource.Interpolated ? hour.TempC : double.NaN);
        Tell();
    }

    /// <summary>A copy of the sums that goes its own way: for looking ahead.</summary>
    internal StageSums CopySums() => sums.Copy();

    /// <summary>Length of a day where days lengthen, h.</summary>
    internal double? LengtheningHours(DateOnly day) => calendar.LengtheningHours(day);

    private void AdvanceToDay(DateOnly day, DateTimeOffset at)
    {
        var season = calendar.SeasonOf(day);
        if (!hasBegun || season != Season)
            Begin(season, day, at);
        for (var next = summedDay; next < day;)
        {
            next = next.AddDays(1);
            summedDay = next;
            SumUpHole(LocalDay.StartOf(next, Zone));
            if (PetalFallOn is null && hours.MayHaveChanged())
                SumAgain();
            TakeUp(next);
        }
    }

    /// <summary>A season begins, or is found to have begun: what went before in it is a hole.</summary>
    private void Begin(Season? season, DateOnly day, DateTimeOffset at)
    {
        var first = season is { } s && day > s.ChillFrom ? s.ChillFrom : day;
        var start = first == day && !hasBegun ? at : LocalDay.StartOf(first, Zone);
        // A season that turns while hours come goes on with the next one.
        var floor = new DateTimeOffset(start.UtcTicks - (start.UtcTicks % TimeSpan.TicksPerHour), TimeSpan.Zero);
        var from = hasBegun && hours.End > floor ? hours.End : floor;
        sums = sums.NextSeason();
        if (lastKnownEnd is null && first < day)
            sums.BeginUnknown();
        hours.Begin(from);
        atStart = sums.Copy();
        taken.Clear();
        log.Forget();
        (Season, toldLeaf, toldFlower, lastSource, hasBegun) = (season, 0, 0, StageSource.Computed, true);
        summedDay = first.AddDays(-1);
    }

    /// <summary>Hours that have not come are a hole once there are more than a straight line bridges.</summary>
    private void SumUpHole(DateTimeOffset until)
    {
        var running = hours.Count > 0 && hours.IsUnknown(hours.Count - 1);
        if (!running && until - hours.End <= TimeSpan.FromHours(LongestGapHours) && hours.Count > 0)
            return;
        while (hours.End.AddHours(1) <= until)
            Append(double.NaN);
        Tell();
    }

    private void Append(double tempC)
    {
        hours.Append(tempC, double.IsNaN(tempC) ? 0 : GrowingDegreeHours.Of(Needs.Heat, tempC));
        Sum(hours.Count - 1);
    }

    private void Sum(int index)
    {
        var (day, end, tempC) = hours[index];
        if (day != sumDay)
            (sumDay, lengtheningHours, chillCounts) = (day, calendar.LengtheningHours(day), Season is { } s && day >= s.ChillFrom);
        if (!double.IsNaN(tempC))
        {
            sums.Add(day, end, tempC, chillCounts, lengtheningHours);
            return;
        }

        var gapBegins = index == 0 || !hours.IsUnknown(index - 1);
        if (gapBegins)
            mostHeat = hours.MostHeat(index);
        sums.AddUnknown(day, end, gapBegins && hours.BeginsHole(index), mostHeat, hours.Likely(index), hours.Usual(index), chillCounts, lengtheningHours);
    }

    /// <summary>More is known of what lies beside a hole: the season is summed up once more.</summary>
    private void SumAgain()
    {
        sums = atStart.Copy();
        sumDay = default;
        var next = 0;
        for (var i = 0; i < hours.Count; i++)
        {
            for (; next < taken.Count && taken[next].Seen.On <= hours[i].Day; next++)
                taken[next].Apply(sums, !calendar.IsKnown);
            Sum(i);
        }

        for (; next < taken.Count; next++)
            taken[next].Apply(sums, !calendar.IsKnown);
        Tell();
    }

    private void TakeUp(DateOnly day)
    {
        if (!calendar.IsKnown && log.FirstOn is { } first && day >= first.AddDays(DaysWithoutCalendar))
            Begin(null, day, LocalDay.StartOf(day, Zone));
        // What was seen in seasons that are over, or before chill counts and so of the year before, says nothing now.
        var earliest = Season?.ChillFrom ?? day.AddDays(-DaysWithoutCalendar);
        while (log.TryTake(day, earliest, out var seen))
        {
            if (log.Take(seen, LocalDay.StartOf(seen.On, Zone)) is { } counts)
                TakeUp(counts);
        }
    }

    private void TakeUp(StageLog.Taken counts)
    {
        taken.Add(counts);
        counts.Apply(sums, !calendar.IsKnown);
        var (on, stage) = (counts.Seen.On, counts.Seen.Stage);
        onReached?.Invoke(new StageReached(stage, on, counts.At, StageSource.Logged, on, on));
        // The stage has been told; one of the other buds that follows from it is told as computed.
        var (leaf, flower) = (sums.Expected.LeafBuds.Stage.Code, sums.Expected.FlowerBuds.Stage.Code);
        (toldLeaf, toldFlower) = stage.IsOfLeaves ? (leaf, Math.Min(toldFlower, flower)) : (Math.Min(toldLeaf, leaf), flower);
        Tell();
        lastSource = StageSource.Logged;
    }

    private void Tell()
    {
        toldLeaf = Tell(sums.Expected.LeafBuds, toldLeaf);
        toldFlower = Tell(sums.Expected.FlowerBuds, toldFlower);
    }

    private int Tell(StageLine line, int told)
    {
        if (line.Stage.Code <= told)
            return told;
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
