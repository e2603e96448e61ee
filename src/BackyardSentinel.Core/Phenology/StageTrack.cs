namespace BackyardSentinel.Phenology;

/// <summary>
/// One tree of the needs, early, expected or late: chill first, then warmth. Chilling is met on the first local day on
/// which the sum of chill comes up to the need; the warmth of that whole day counts. A stage is reached at the end of the
/// hour in which the sum of warmth comes up to its need.
/// </summary>
public sealed class StageTrack
{
    private readonly double chillNeed;
    private DateOnly? today;
    private double heatOfDay;

    /// <summary>Starts a track.</summary>
    /// <param name="needs">What the variety needs.</param>
    /// <param name="factor">All needs times this: 1 for the expected tree, less for an early, more for a late one.</param>
    public StageTrack(StageNeeds needs, double factor)
    {
        chillNeed = needs.ChillNeed * factor;
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
        (chillNeed, today, heatOfDay, ChillMetOn) = (other.chillNeed, other.today, other.heatOfDay, other.ChillMetOn);
        (LeafBuds, FlowerBuds) = (other.LeafBuds.Copy(), other.FlowerBuds.Copy());
    }

    /// <summary>The first local day on which the chill need was met.</summary>
    public DateOnly? ChillMetOn { get; private set; }

    /// <summary>The leaf buds and, after them, the shoots.</summary>
    public StageLine LeafBuds { get; }

    /// <summary>The flower buds and, after them, the fruit.</summary>
    public StageLine FlowerBuds { get; }

    /// <summary>Adds a step of time, at most a day long, in order.</summary>
    /// <param name="day">Its local day.</param>
    /// <param name="end">Its end, UTC.</param>
    /// <param name="chillSum">The season's chill up to its end.</param>
    /// <param name="heat">Its warmth, degree hours.</param>
    public void Add(DateOnly day, DateTimeOffset end, double chillSum, double heat)
    {
        heatOfDay = day == today ? heatOfDay + heat : heat;
        today = day;
        LeafBuds.Add(heat, day, end);
        FlowerBuds.Add(heat, day, end);
        if (ChillMetOn is null && chillSum >= chillNeed)
        {
            ChillMetOn = day;
            LeafBuds.Begin(heatOfDay, day, end);
            FlowerBuds.Begin(heatOfDay, day, end);
        }
    }

    internal StageTrack Copy() => new(this);
}
