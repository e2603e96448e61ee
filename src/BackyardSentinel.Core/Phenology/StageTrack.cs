using BackyardSentinel.Garden;

namespace BackyardSentinel.Phenology;

/// <summary>
/// One of the three trees between which a stage lies: chill first, then warmth. Chilling is met on the first local day on
/// which the sum of chill comes up to the need, or on which days are so long that heat alone counts; the warmth of that
/// whole day counts. A stage is reached at the end of the hour in which the sum of warmth comes up to its need.
/// </summary>
public sealed class StageTrack
{
    private readonly double _chillNeed, _chillNeedInLongDays;
    private DateOnly? _today;
    private double _heatOfDay, _needToday;

    /// <summary>Starts a track.</summary>
    /// <param name="needs">What the variety needs.</param>
    /// <param name="bound">Which of the three trees.</param>
    public StageTrack(StageNeeds needs, StageBound bound)
    {
        Bound = bound;
        var factor = bound.Factor(needs);
        _chillNeed = needs.ChillNeed * factor;
        _chillNeedInLongDays = bound == StageBound.Earliest ? Math.Min(_chillNeed, needs.ChillNeed * StageBounds.ShortOfChill) : _chillNeed;
        LeafBuds = new StageLine(Line(need => need.LeafBud), 0);
        FlowerBuds = new StageLine(Line(need => need.FlowerBud), 50);

        IEnumerable<(BudStage, double)> Line(Func<StageNeed, BudStage?> stageOf)
        {
            foreach (var need in needs.Stages)
            {
                if (stageOf(need) is { } stage)
                    yield return (stage, need.DegreeHours * factor);
            }
        }
    }

    private StageTrack(StageTrack other)
    {
        (Bound, _chillNeed, _chillNeedInLongDays) = (other.Bound, other._chillNeed, other._chillNeedInLongDays);
        (_today, _heatOfDay, _needToday, ChillSum, ChillMetOn, ByHeatAlone) = (
            other._today,
            other._heatOfDay,
            other._needToday,
            other.ChillSum,
            other.ChillMetOn,
            other.ByHeatAlone);
        (LeafBuds, FlowerBuds) = (other.LeafBuds.Copy(), other.FlowerBuds.Copy());
    }

    /// <summary>Which of the three trees it is.</summary>
    public StageBound Bound { get; }

    /// <summary>The season's chill so far, in the needs' units; Utah units can take it below 0.</summary>
    public double ChillSum { get; private set; }

    /// <summary>The first local day on which the chill need was met, or taken as met.</summary>
    public DateOnly? ChillMetOn { get; private set; }

    /// <summary>The need was taken as met on <see cref="ChillMetOn"/>, because the days had grown long; there was less chill.</summary>
    public bool ByHeatAlone { get; private set; }

    /// <summary>The leaf buds and, after them, the shoots.</summary>
    public StageLine LeafBuds { get; }

    /// <summary>The flower buds and, after them, the fruit.</summary>
    public StageLine FlowerBuds { get; }

    /// <summary>Adds a step of time, at most a day long, in order.</summary>
    /// <param name="day">Its local day.</param>
    /// <param name="end">Its end, UTC.</param>
    /// <param name="chill">Its chill, in the needs' units.</param>
    /// <param name="heat">Its warmth, degree hours.</param>
    /// <param name="lengtheningHours">Length of the day where days lengthen, h; <c>null</c> where they shorten or that is not
    /// known.</param>
    public void Add(DateOnly day, DateTimeOffset end, double chill, double heat, double? lengtheningHours)
    {
        if (day != _today)
            (_today, _heatOfDay, _needToday) = (day, 0, NeedAt(lengtheningHours));
        _heatOfDay += heat;
        ChillSum += chill;
        LeafBuds.Add(heat, day, end);
        FlowerBuds.Add(heat, day, end);
        if (ChillMetOn is null && ChillSum >= _needToday)
        {
            (ChillMetOn, ByHeatAlone) = (day, ChillSum < _chillNeedInLongDays);
            LeafBuds.Begin(_heatOfDay, day, end);
            FlowerBuds.Begin(_heatOfDay, day, end);
        }
    }

    internal StageTrack Copy() => new(this);

    private double NeedAt(double? lengtheningHours) =>
        lengtheningHours >= Bound.HeatAloneFromHours() ? double.NegativeInfinity
        : lengtheningHours >= StageBounds.ShortOfChillFromHours ? _chillNeedInLongDays
        : _chillNeed;
}
