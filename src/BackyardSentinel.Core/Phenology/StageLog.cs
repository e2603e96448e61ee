using System.Globalization;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Phenology;

/// <summary>The grower's logged stages, taken up one by one as their days come, and what they do to the sums.</summary>
internal sealed class StageLog(IEnumerable<StageObserved> logged)
{
    private readonly StageObserved[] _logged = [.. logged.OrderBy(seen => seen.On)];
    private readonly List<string> _doubts = [];
    private int _next;
    private BudStage? _leaf, _flower;

    /// <summary>Stages that were ignored, with the reason, a sentence each.</summary>
    public IReadOnlyList<string> Doubts => _doubts;

    /// <summary>The first day of this season on which something was seen.</summary>
    public DateOnly? FirstOn { get; private set; }

    /// <summary>A new season: nothing has been seen in it.</summary>
    public void Forget() => (_leaf, _flower, FirstOn) = (null, null, null);

    /// <summary>Gives the next stage due by a day. What was seen before <paramref name="earliest"/> is passed over.</summary>
    public bool TryTake(DateOnly day, DateOnly earliest, out StageObserved seen)
    {
        while (_next < _logged.Length && _logged[_next].On <= day)
        {
            seen = _logged[_next++];
            // Codes from 91 on are the end of a tree's year.
            if (seen.On >= earliest && seen.Stage.Code < 91)
                return true;
        }

        seen = default;
        return false;
    }

    /// <summary>A stage that counts, and how.</summary>
    /// <param name="Seen">The stage.</param>
    /// <param name="At">Beginning of its local day, UTC.</param>
    /// <param name="Again">It was seen before in this season.</param>
    /// <param name="MovesOther">The other kind of buds, of which nothing was seen, goes with it.</param>
    public readonly record struct Taken(StageObserved Seen, DateTimeOffset At, bool Again, bool MovesOther)
    {
        /// <summary>Lets it work on the sums.</summary>
        /// <param name="sums">The season's sums.</param>
        /// <param name="chilled">Chill is not counted and may have been met.</param>
        public void Apply(StageSums sums, bool chilled)
        {
            var (on, stage) = (Seen.On, Seen.Stage);
            foreach (var track in sums.Tracks)
            {
                var share = track.Bound.ShareAfterSeen();
                if (stage == BudStage.Dormant)
                {
                    var warmthCounts = chilled && track.Bound == StageBound.Earliest;
                    track.LeafBuds.SetShut(on, share, warmthCounts);
                    track.FlowerBuds.SetShut(on, share, warmthCounts);
                    continue;
                }

                var (line, other) = stage.IsOfLeaves ? (track.LeafBuds, track.FlowerBuds) : (track.FlowerBuds, track.LeafBuds);
                line.SetTo(stage, on, At, share, Again);
                if (MovesOther)
                    other.Follow(line, on, At);
            }
        }
    }

    /// <summary>Takes a stage into the season.</summary>
    /// <param name="seen">The stage.</param>
    /// <param name="at">Beginning of its local day, UTC.</param>
    /// <returns>How it counts; <c>null</c> when it runs backwards.</returns>
    public Taken? Take(StageObserved seen, DateTimeOffset at)
    {
        var stage = seen.Stage;
        var isDormant = stage == BudStage.Dormant;
        var before = isDormant ? _leaf ?? _flower : stage.IsOfLeaves ? _leaf : _flower;
        if (before is { } b && stage.Code < b.Code)
        {
            _doubts.Add(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Stage {stage} logged for {seen.On:yyyy-MM-dd} lies behind stage {b} logged earlier in the season and is ignored; "
                        + $"correct the journal entry that is wrong."));
            return null;
        }

        FirstOn ??= seen.On;
        // What was seen of the other buds themselves beats what follows from these.
        var taken = new Taken(seen, at, before == stage, !isDormant && before != stage && (stage.IsOfLeaves ? _flower : _leaf) is null);
        if (isDormant)
            return taken;
        if (stage.IsOfLeaves)
            _leaf = stage;
        else
            _flower = stage;
        return taken;
    }
}
