namespace BackyardSentinel.Phenology;

/// <summary>
/// The leaf buds or the flower buds of one track: a sum of warmth, and the stages it has passed. What the grower logged
/// sets the sum; from there it counts on.
/// </summary>
public sealed class StageLine
{
    private readonly (BudStage Stage, double Need)[] needs;
    private readonly int zeroCode;
    private readonly List<Pass> passes = [];
    private bool counting;
    private DateOnly? setOn;

    internal StageLine(IEnumerable<(BudStage Stage, double Need)> needs, int zeroCode) =>
        (this.needs, this.zeroCode) = ([.. needs], zeroCode);

    private StageLine(StageLine other)
    {
        (needs, zeroCode, counting, setOn, HeatSum) = (other.needs, other.zeroCode, other.counting, other.setOn, other.HeatSum);
        passes = [.. other.passes];
    }

    /// <summary>A stage and when it was reached.</summary>
    /// <param name="Stage">The stage.</param>
    /// <param name="On">The local day.</param>
    /// <param name="At">End of the hour in which the sum met the need, or the midnight from which a logged stage counts, UTC.</param>
    public readonly record struct Pass(BudStage Stage, DateOnly On, DateTimeOffset At);

    /// <summary>Warmth summed since chilling was met or since it was set by a logged stage, degree hours.</summary>
    public double HeatSum { get; private set; }

    /// <summary>The stage now; 00 before the first.</summary>
    public BudStage Stage => passes.Count > 0 ? passes[^1].Stage : BudStage.Dormant;

    /// <summary>The stages passed, rising. Stages that a logged one jumped over are left out.</summary>
    public IReadOnlyList<Pass> Passed => passes;

    /// <summary>The first pass of this stage or a later one, if it was reached.</summary>
    public Pass? Reached(BudStage stage)
    {
        foreach (var pass in passes)
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
        if (counting)
            return;
        counting = true;
        Add(heatOfDay, day, at);
    }

    /// <summary>Adds an hour's warmth; before the sum has begun, and on days before it was set, there is nothing to add to.</summary>
    internal void Add(double heat, DateOnly day, DateTimeOffset at)
    {
        if (!counting || day < setOn)
            return;
        HeatSum += heat;
        foreach (var (stage, need) in needs)
        {
            if (HeatSum >= need && stage.Code > Stage.Code)
                passes.Add(new Pass(stage, day, at));
        }
    }

    /// <summary>This stage was seen: the sum is what the stage needs.</summary>
    internal void SetTo(BudStage stage, DateOnly day, DateTimeOffset at)
    {
        Set(NeedOf(stage), day);
        passes.RemoveAll(pass => pass.Stage.Code >= stage.Code);
        passes.Add(new Pass(stage, day, at));
    }

    /// <summary>The other line was set: this one follows with the same warmth.</summary>
    internal void Follow(double heatSum, DateOnly day, DateTimeOffset at)
    {
        Set(heatSum, day);
        var stage = needs.LastOrDefault(need => need.Need <= heatSum).Stage;
        passes.RemoveAll(pass => pass.Stage.Code > stage.Code);
        if (stage.Code > Stage.Code)
            passes.Add(new Pass(stage, day, at));
    }

    /// <summary>This stage is still what is seen: the sum is held below the need of the next one.</summary>
    internal void HoldAt(BudStage stage)
    {
        passes.RemoveAll(pass => pass.Stage.Code > stage.Code);
        foreach (var (next, need) in needs)
        {
            if (next.Code <= stage.Code)
                continue;
            HeatSum = Math.Min(HeatSum, Math.BitDecrement(need));
            return;
        }
    }

    private void Set(double heatSum, DateOnly day) => (HeatSum, counting, setOn) = (heatSum, true, day);

    /// <summary>The need of any stage: on a straight line between those listed; past the last, the last or what is summed.</summary>
    private double NeedOf(BudStage stage)
    {
        var (beforeCode, beforeNeed) = (zeroCode, 0.0);
        foreach (var (listed, need) in needs)
        {
            if (listed.Code >= stage.Code)
            {
                // The listed stage itself gives its need to the last bit.
                return listed == stage
                    ? need
                    : beforeNeed + ((need - beforeNeed) * (stage.Code - beforeCode) / (listed.Code - beforeCode));
            }

            (beforeCode, beforeNeed) = (listed.Code, need);
        }

        return Math.Max(HeatSum, beforeNeed);
    }
}
