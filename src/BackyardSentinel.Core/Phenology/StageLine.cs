using BackyardSentinel.Garden;

namespace BackyardSentinel.Phenology;

/// <summary>
/// The leaf buds or the flower buds of one track: a sum of warmth, and the stages it has passed. What the grower logged
/// sets the sum; from there it counts on.
/// </summary>
public sealed class StageLine
{
    /// <summary>A stage that was seen holds at least until the second day after.</summary>
    private const int DaysSeenHolds = 2;

    private readonly (BudStage Stage, double Need)[] _needs;
    private readonly int _zeroCode;
    private readonly List<Pass> _passes = [];
    private bool _counting;
    private double _heatToCome;
    private DateOnly? _setOn, _noneBefore;

    internal StageLine(IEnumerable<(BudStage Stage, double Need)> needs, int zeroCode) =>
        (_needs, _zeroCode) = ([.. needs], zeroCode);

    private StageLine(StageLine other)
    {
        (_needs, _zeroCode, _counting, _setOn, _noneBefore, _heatToCome, HeatSum) = (
            other._needs, other._zeroCode, other._counting, other._setOn, other._noneBefore, other._heatToCome, other.HeatSum);
        _passes = [.. other._passes];
    }

    /// <summary>A stage and when it was reached.</summary>
    /// <param name="Stage">The stage.</param>
    /// <param name="On">The local day.</param>
    /// <param name="At">End of the hour in which the sum met the need, or the midnight from which a logged stage counts, UTC.</param>
    public readonly record struct Pass(BudStage Stage, DateOnly On, DateTimeOffset At);

    /// <summary>Warmth summed since chilling was met or since it was set by a logged stage, degree hours.</summary>
    public double HeatSum { get; private set; }

    /// <summary>The stage now; 00 before the first.</summary>
    public BudStage Stage => _passes.Count > 0 ? _passes[^1].Stage : BudStage.Dormant;

    /// <summary>The stages passed, rising. Stages that a logged one jumped over are left out.</summary>
    public IReadOnlyList<Pass> Passed => _passes;

    /// <summary>The first pass of this stage or a later one, if it was reached.</summary>
    public Pass? Reached(BudStage stage)
    {
        foreach (var pass in _passes)
        {
            if (pass.Stage.Code >= stage.Code)
                return pass;
        }

        return null;
    }

    internal StageLine Copy() => new(this);

    /// <summary>Chilling is met: warmth counts from the whole of this day.</summary>
    internal void Begin(double heatOfDay, DateOnly day, DateTimeOffset at)
    {
        // A logged stage has begun the sum already.
        if (_counting)
            return;
        _counting = true;
        Add(heatOfDay, day, at);
    }

    /// <summary>Adds an hour's warmth; before the sum has begun, and on days before it was set, there is nothing to add to.</summary>
    internal void Add(double heat, DateOnly day, DateTimeOffset at)
    {
        if (!_counting || day < _setOn)
            return;
        HeatSum += heat;
        _heatToCome -= heat;
        // What is left of subtracting hour by hour is no reason to wait for another.
        if (day < _noneBefore || _heatToCome > 1e-6)
            return;
        foreach (var (stage, need) in _needs)
        {
            if (HeatSum >= need && stage.Code > Stage.Code)
                _passes.Add(new Pass(stage, day, at));
        }
    }

    /// <summary>
    /// This stage was seen. Nothing is behind it from its day on, and nothing that is computed is beyond it before the
    /// second day after, nor before a share of the heat between it and the next stage has come since.
    /// </summary>
    /// <param name="stage">The stage.</param>
    /// <param name="day">The local day.</param>
    /// <param name="at">Beginning of that day, UTC.</param>
    /// <param name="share">The share, 0–1; at 1 the tree has just come to the stage, else it may be about to leave it.</param>
    /// <param name="again">It had been seen before: its day stays.</param>
    internal void SetTo(BudStage stage, DateOnly day, DateTimeOffset at, double share, bool again)
    {
        var need = NeedOf(stage);
        Set(_counting ? Math.Max(HeatSum, need) : need, day);
        Hold(stage, need, share);
        _passes.RemoveAll(pass => again ? pass.Stage.Code > stage.Code : pass.Stage.Code >= stage.Code);
        if (Stage.Code < stage.Code)
            _passes.Add(new Pass(stage, day, at));
    }

    /// <summary>The other line was set: this one follows with the same warmth.</summary>
    internal void Follow(StageLine other, DateOnly day, DateTimeOffset at)
    {
        Set(other.HeatSum, day);
        _heatToCome = other._heatToCome;
        var stage = _needs.LastOrDefault(need => need.Need <= HeatSum).Stage;
        _passes.RemoveAll(pass => pass.Stage.Code > stage.Code);
        if (stage.Code > Stage.Code)
            _passes.Add(new Pass(stage, day, at));
    }

    /// <summary>All buds were seen shut.</summary>
    /// <param name="day">The local day.</param>
    /// <param name="share">The share of the heat to the first stage that must come before it is reached, 0–1.</param>
    /// <param name="chilled">Chill is not counted, so that it may have been met: warmth counts from now.</param>
    internal void SetShut(DateOnly day, double share, bool chilled)
    {
        _passes.Clear();
        _noneBefore = day.AddDays(DaysSeenHolds);
        if (!_counting && !chilled)
            return;
        Set(_counting ? HeatSum : double.MaxValue, day);
        Hold(BudStage.Dormant, 0, share);
    }

    private void Set(double heatSum, DateOnly day) =>
        (HeatSum, _counting, _setOn, _noneBefore) = (heatSum, true, day, day.AddDays(DaysSeenHolds));

    /// <summary>The sum stays below the next stage, and a share of the heat to it must come first.</summary>
    private void Hold(BudStage stage, double need, double share)
    {
        _heatToCome = 0;
        foreach (var (next, nextNeed) in _needs)
        {
            if (next.Code <= stage.Code)
                continue;
            HeatSum = Math.Min(HeatSum, share < 1 ? Math.BitDecrement(nextNeed) : need);
            _heatToCome = share * (nextNeed - need);
            return;
        }
    }

    /// <summary>The need of any stage: on a straight line between those listed; past the last, the last or what is summed.</summary>
    private double NeedOf(BudStage stage)
    {
        var (beforeCode, beforeNeed) = (_zeroCode, 0.0);
        foreach (var (listed, need) in _needs)
        {
            // A listed stage is the one before: its need, to the last bit.
            if (listed.Code > stage.Code)
                return beforeNeed + ((need - beforeNeed) * (stage.Code - beforeCode) / (listed.Code - beforeCode));
            (beforeCode, beforeNeed) = (listed.Code, need);
        }

        return Math.Max(HeatSum, beforeNeed);
    }
}
