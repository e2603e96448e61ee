using System.Globalization;

namespace BackyardSentinel.Phenology;

/// <summary>The grower's logged stages, taken up one by one as their days come, and what they do to the sums.</summary>
internal sealed class StageLog(IEnumerable<StageObserved> logged)
{
    private readonly StageObserved[] logged = [.. logged.OrderBy(seen => seen.On)];
    private readonly List<string> doubts = [];
    private int next;
    private BudStage? leaf, flower;

    /// <summary>Stages that were ignored, with the reason, a sentence each.</summary>
    public IReadOnlyList<string> Doubts => doubts;

    /// <summary>Whether a stage past dormant was seen in this season: the sums count from it.</summary>
    public bool HasStart => leaf is not null || flower is not null;

    /// <summary>The first day of this season on which something was seen.</summary>
    public DateOnly? FirstOn { get; private set; }

    /// <summary>The last day of this season on which the tree was seen dormant.</summary>
    public DateOnly? DormantOn { get; private set; }

    /// <summary>A new season: nothing has been seen in it.</summary>
    public void Forget() => (leaf, flower, FirstOn, DormantOn) = (null, null, null, null);

    /// <summary>Gives the next stage due by a day. What was seen before <paramref name="earliest"/> is passed over.</summary>
    public bool TryTake(DateOnly day, DateOnly earliest, out StageObserved seen)
    {
        while (next < logged.Length && logged[next].On <= day)
        {
            seen = logged[next++];
            // Codes from 91 on are the end of a tree's year.
            if (seen.On >= earliest && seen.Stage.Code < 91)
                return true;
        }

        seen = default;
        return false;
    }

    /// <summary>Lets a stage work on the sums.</summary>
    /// <param name="seen">The stage.</param>
    /// <param name="at">Beginning of its local day, UTC.</param>
    /// <param name="sums">The season's sums.</param>
    /// <param name="starts">Whether the sums start from it: not where it only holds them.</param>
    /// <returns>Whether it counts; <c>false</c> when it runs backwards.</returns>
    public bool TakeUp(StageObserved seen, DateTimeOffset at, StageSums sums, out bool starts)
    {
        var stage = seen.Stage;
        var isDormant = stage == BudStage.Dormant;
        var before = isDormant ? leaf ?? flower : stage.IsOfLeaves ? leaf : flower;
        starts = !isDormant && before != stage;
        if (before is { } b && stage.Code < b.Code)
        {
            doubts.Add(string.Create(
                CultureInfo.InvariantCulture,
                $"Stage {stage} logged for {seen.On:yyyy-MM-dd} lies behind stage {b} logged earlier in the season and is ignored; correct the journal entry that is wrong."));
            return false;
        }

        foreach (var track in sums.Tracks)
        {
            var (line, other) = stage.IsOfLeaves ? (track.LeafBuds, track.FlowerBuds) : (track.FlowerBuds, track.LeafBuds);
            if (starts)
            {
                line.SetTo(stage, seen.On, at);
                // What was seen of the other buds themselves beats what follows from these.
                if ((stage.IsOfLeaves ? flower : leaf) is null)
                    other.Follow(line.HeatSum, seen.On, at);
                continue;
            }

            line.HoldAt(stage);
            if (isDormant)
                other.HoldAt(stage);
        }

        FirstOn ??= seen.On;
        if (isDormant)
            DormantOn = seen.On;
        else if (stage.IsOfLeaves)
            leaf = stage;
        else
            flower = stage;
        return true;
    }
}
