using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

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

    /// <summary>
    /// More missing chill hours than this, three days, and a sum of chill that falls short says nothing of the needs. ASSUMED.
    /// </summary>
    private const int HarmlessHours = 72;

    private readonly StageLog _log;
    private readonly SeasonHours _hours;
    private readonly Action<StageReached>? _onReached;
    private readonly List<StageLog.Taken> _taken = [];
    private StageSums _atStart, _sums;
    private int _toldLeaf, _toldFlower;
    private DateTimeOffset _now = DateTimeOffset.MinValue;
    private DateTimeOffset? _lastKnownEnd;
    private DateOnly _today, _summedDay, _sumDay;
    private StageSource _lastSource = StageSource.Computed;
    private bool _hasBegun, _chillCounts;
    private double? _lengtheningHours;
    private double _mostHeat;

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
        (Needs, Calendar, Zone, _onReached) = (needs, calendar, zone, onReached);
        _log = new StageLog(seen);
        _hours = new SeasonHours(zone, usual);
        _sums = _atStart = new StageSums(needs);
        HasUsualYear = usual is not null;
    }

    /// <summary>What the variety needs.</summary>
    public StageNeeds Needs { get; }

    /// <summary>A usual year stands in where nothing was measured.</summary>
    public bool HasUsualYear { get; }

    /// <summary>The season, once time has begun; <c>null</c> without a calendar.</summary>
    public Season? Season { get; private set; }

    /// <summary>Whether the leaf buds are shut, may be open or are open.</summary>
    public BudState Buds => _sums.Latest.LeafBuds.Stage.Code >= 1 ? BudState.Open
        : _sums.Earliest.LeafBuds.Stage.Code >= 1 || !IsKnown ? BudState.MayBeOpen
        : BudState.Shut;

    /// <summary>The leaf buds and the shoots of the expected tree, 00–39; <c>null</c>: not known.</summary>
    public BudStage? LeafBud => IsKnown ? _sums.Expected.LeafBuds.Stage : null;

    /// <summary>The flower buds and the fruit of the expected tree, 00 and 51–89; <c>null</c>: not known.</summary>
    public BudStage? FlowerBud => IsKnown ? _sums.Expected.FlowerBuds.Stage : null;

    /// <summary>Whether the last stage reached was computed or seen, or nothing is known.</summary>
    public StageSource Source => IsKnown ? _lastSource : StageSource.Unknown;

    /// <summary>The season's expected chill so far, in the units of the needs.</summary>
    public double ChillSum => _sums.Expected.ChillSum;

    /// <summary>The local day on which the chill need was met, or taken as met, for the expected tree.</summary>
    public DateOnly? ChillMetOn => _sums.Expected.ChillMetOn;

    /// <summary>Warmth of the expected leaf buds since then or since a seen stage, degree hours.</summary>
    public double HeatSum => _sums.Expected.LeafBuds.HeatSum;

    /// <summary>The need was taken as met on <see cref="ChillMetOn"/>, because the days had grown long; the sum fell short of it.</summary>
    public bool ByHeatAlone => _sums.Expected.ByHeatAlone;

    /// <summary>
    /// The winter, well enough measured to tell, brought less chill than the need: warmth alone moves the buds. The needs
    /// are not right for the place, or it is the wrong variety.
    /// </summary>
    public bool NeedsNotMet => _sums.Expected.ByHeatAlone && _sums.Unfilled <= HarmlessHours;

    /// <summary>Hours in which chill counts that were not measured and for which nothing stands in.</summary>
    public int UnknownChillHours => _sums.Unfilled;

    /// <summary>The local day on which leaf tips are green (BBCH 09 or later) even on the latest tree.</summary>
    public DateOnly? GreenTipOn => _sums.Latest.LeafBuds.Reached(BudStage.GreenTip)?.On;

    /// <summary>The local day on which all petals are down (BBCH 69 or later) even on the latest tree.</summary>
    public DateOnly? PetalFallOn => _sums.Latest.FlowerBuds.Reached(BudStage.PetalFall)?.On;

    /// <summary>Seen stages that were ignored, with the reason, a sentence each.</summary>
    public IReadOnlyList<string> Doubts => _log.Doubts;

    /// <summary>Why no stage is known, a sentence; <c>null</c> where one is.</summary>
    public Sentence? Doubt => IsKnown ? null
        : Calendar.IsKnown ? (Sentence)$"The bud stage is unknown: nothing has been measured yet."
        : $"The bud stage is unknown: without a latitude there is no season to count chill in; log a stage, "
            + $"or give the garden its latitude and longitude.";

    /// <summary>The site's time zone.</summary>
    internal TimeZoneInfo Zone { get; }

    /// <summary>The calendar of the place.</summary>
    internal SeasonCalendar Calendar { get; }

    /// <summary>Until when the sums go, UTC; <c>null</c> before time has begun.</summary>
    internal DateTimeOffset? SummedUntil => _hasBegun ? _hours.End : null;

    /// <summary>End of the last known hour, UTC.</summary>
    internal DateTimeOffset? LastEnd => _lastKnownEnd;

    private bool IsKnown => _hasBegun && (Calendar.IsKnown || _log.FirstOn is not null);

    /// <summary>When the three trees reached a stage of this season, or a later one.</summary>
    public StageDates DatesOf(BudStage stage) => new(
        LineOf(_sums.Earliest, stage).Reached(stage)?.On,
        LineOf(_sums.Expected, stage).Reached(stage)?.On,
        LineOf(_sums.Latest, stage).Reached(stage)?.On);

    /// <summary>Time passed, with or without hours: turns the season, takes up what was seen until then, and sums up holes.</summary>
    public void AdvanceTo(DateTimeOffset at)
    {
        // Hours that were filled in late lie before what is known of the calendar already.
        if (at < _now)
            return;
        var day = LocalDay.Of(at, Zone);
        if (day != _today || !_hasBegun)
            AdvanceToDay(day, at);
        (_now, _today) = (at, day);
    }

    /// <summary>Takes the next hour. Hours may leave holes but must not run backwards.</summary>
    public void Add(in HourTemperature hour)
    {
        if (hour.Start < _lastKnownEnd)
            throw new ArgumentException("Hours must come in order.", nameof(hour));
        AdvanceTo(hour.Start);
        if (hour.Source is HourSource.Measured or HourSource.Interpolated)
            _lastKnownEnd = hour.End;

        // What was summed up as a hole, and hours of a season that is over, stay as they are.
        if (hour.Start < _hours.End)
            return;
        while (_hours.End < hour.Start)
            Append(double.NaN);
        Append(hour.Source is HourSource.Measured or HourSource.Interpolated ? hour.TempC : double.NaN);
        Tell();
    }

    /// <summary>A copy of the sums that goes its own way: for looking ahead.</summary>
    internal StageSums CopySums() => _sums.Copy();

    private void AdvanceToDay(DateOnly day, DateTimeOffset at)
    {
        var season = Calendar.SeasonOf(day);
        if (!_hasBegun || season != Season)
            Begin(season, day, at);
        for (var next = _summedDay; next < day;)
        {
            next = next.AddDays(1);
            _summedDay = next;
            SumUpHole(LocalDay.StartOf(next, Zone));
            if (PetalFallOn is null && _hours.MayHaveChanged())
                SumAgain();
            TakeUp(next);
        }
    }

    /// <summary>A season begins, or is found to have begun: what went before in it is a hole.</summary>
    private void Begin(Season? season, DateOnly day, DateTimeOffset at)
    {
        var first = season is { } s && day > s.ChillFrom ? s.ChillFrom : day;
        var start = first == day && !_hasBegun ? at : LocalDay.StartOf(first, Zone);
        // A season that turns while hours come goes on with the next one.
        var floor = ClockHour.Of(start);
        var from = _hasBegun && _hours.End > floor ? _hours.End : floor;
        _sums = _sums.NextSeason();
        if (_lastKnownEnd is null && first < day)
            _sums.BeginUnknown();
        _hours.Begin(from);
        _atStart = _sums.Copy();
        _taken.Clear();
        _log.Forget();
        (Season, _toldLeaf, _toldFlower, _lastSource, _hasBegun) = (season, 0, 0, StageSource.Computed, true);
        _summedDay = first.AddDays(-1);
    }

    /// <summary>Hours that have not come are a hole once there are more than a straight line bridges.</summary>
    private void SumUpHole(DateTimeOffset until)
    {
        var running = _hours.Count > 0 && _hours.IsUnknown(_hours.Count - 1);
        if (!running && until - _hours.End <= TimeSpan.FromHours(LongestGapHours) && _hours.Count > 0)
            return;
        while (_hours.End.AddHours(1) <= until)
            Append(double.NaN);
        Tell();
    }

    private void Append(double tempC)
    {
        _hours.Append(tempC, double.IsNaN(tempC) ? 0 : GrowingDegreeHours.Of(Needs.Heat, tempC));
        Sum(_hours.Count - 1);
    }

    private void Sum(int index)
    {
        var (day, end, tempC) = _hours[index];
        if (day != _sumDay)
            (_sumDay, _lengtheningHours, _chillCounts) = (day, Calendar.LengtheningHours(day), Season is { } s && day >= s.ChillFrom);
        if (!double.IsNaN(tempC))
        {
            _sums.Add(day, end, tempC, _chillCounts, _lengtheningHours);
            return;
        }

        var gapBegins = index == 0 || !_hours.IsUnknown(index - 1);
        if (gapBegins)
            _mostHeat = _hours.MostHeat(index);
        _sums.AddUnknown(
            day,
            end,
            gapBegins && _hours.BeginsHole(index),
            _mostHeat,
            _hours.Likely(index),
            _hours.Usual(index),
            _chillCounts,
            _lengtheningHours);
    }

    /// <summary>
    /// More is known of what lies beside a hole: the season is summed up once more. Each day on which a stage was seen has hours by then.
    /// </summary>
    private void SumAgain()
    {
        _sums = _atStart.Copy();
        var next = 0;
        for (var i = 0; i < _hours.Count; i++)
        {
            for (; next < _taken.Count && _taken[next].Seen.On <= _hours[i].Day; next++)
                _taken[next].Apply(_sums, !Calendar.IsKnown);
            Sum(i);
        }

        Tell();
    }

    private void TakeUp(DateOnly day)
    {
        if (!Calendar.IsKnown && _log.FirstOn is { } first && day >= first.AddDays(DaysWithoutCalendar))
            Begin(null, day, LocalDay.StartOf(day, Zone));
        // What was seen in seasons that are over, or before chill counts and so of the year before, says nothing now.
        var earliest = Season?.ChillFrom ?? day.AddDays(-DaysWithoutCalendar);
        while (_log.TryTake(day, earliest, out var seen))
        {
            if (_log.Take(seen, LocalDay.StartOf(seen.On, Zone)) is { } counts)
                TakeUp(counts);
        }
    }

    private void TakeUp(StageLog.Taken counts)
    {
        _taken.Add(counts);
        counts.Apply(_sums, !Calendar.IsKnown);
        var (on, stage) = (counts.Seen.On, counts.Seen.Stage);
        _onReached?.Invoke(new StageReached(stage, on, counts.At, StageSource.Logged, on, on));
        // The stage has been told; one of the other buds that follows from it is told as computed.
        var (leaf, flower) = (_sums.Expected.LeafBuds.Stage.Code, _sums.Expected.FlowerBuds.Stage.Code);
        (_toldLeaf, _toldFlower) = stage.IsOfLeaves ? (leaf, Math.Min(_toldFlower, flower)) : (Math.Min(_toldLeaf, leaf), flower);
        Tell();
        _lastSource = StageSource.Logged;
    }

    private void Tell()
    {
        _toldLeaf = Tell(_sums.Expected.LeafBuds, _toldLeaf);
        _toldFlower = Tell(_sums.Expected.FlowerBuds, _toldFlower);
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
            _lastSource = StageSource.Computed;
            var dates = DatesOf(pass.Stage);
            _onReached?.Invoke(new StageReached(pass.Stage, pass.On, pass.At, StageSource.Computed, dates.Early, dates.Late));
        }

        return told;
    }

    private static StageLine LineOf(StageTrack track, BudStage stage) => stage.IsOfLeaves ? track.LeafBuds : track.FlowerBuds;
}
