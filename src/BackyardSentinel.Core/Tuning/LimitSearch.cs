using System.Collections.Concurrent;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Tuning;

/// <summary>
/// Searches the limits that would have cost least: first a grid, then finer steps around its best, once for all seasons and
/// once without each. A season that is left out is not looked at in any step of its search. Parts and searches may be done on
/// several threads: first every part, then every search.
/// </summary>
public sealed class LimitSearch
{
    private const int MostOfPart = 64;

    private readonly Recording _recording;
    private readonly LimitTables _tables;
    private readonly ScoutedSeasons _scouted;
    private readonly IReadOnlyList<LimitAxis> _axes;
    private readonly double _missCost;
    private readonly Level _level;
    private readonly LimitSet[] _sets;
    private readonly Dictionary<LimitSet, int> _places;
    private readonly (int From, int To)[] _parts;
    private readonly Counts[] _counts;
    private readonly ConcurrentDictionary<LimitSet, Counts[]> _finer = new();
    private readonly LimitSet[] _found;

    /// <summary>Lays out the grid.</summary>
    /// <param name="recording">What the rules were given.</param>
    /// <param name="scouted">What was found.</param>
    /// <param name="present">The limits that hold now; they are in the grid.</param>
    /// <param name="axes">What is varied.</param>
    /// <param name="missCost">What a miss costs, in false alarms; above 0.</param>
    /// <param name="level">Only windows that come to this level count.</param>
    public LimitSearch(
        Recording recording,
        ScoutedSeasons scouted,
        LimitSet present,
        IReadOnlyList<LimitAxis> axes,
        double missCost,
        Level level = Level.Possible)
    {
        (_recording, _scouted, _axes, _missCost, _level, Present) = (recording, scouted, axes, missCost, level, present);
        // Sets of the same wet spells stand together.
        _sets = [.. Grid().Distinct().GroupBy(set => set.Spell).SelectMany(group => group)];
        _tables = new LimitTables(recording, _sets);
        _places = _sets.Select((set, place) => (set, place)).ToDictionary(one => one.set, one => one.place);
        _parts = [.. Parted()];
        _counts = new Counts[_sets.Length * scouted.Seasons.Count];
        _found = new LimitSet[scouted.Seasons.Count + 1];
    }

    /// <summary>The limits that hold now.</summary>
    public LimitSet Present { get; }

    /// <summary>What is varied.</summary>
    public IReadOnlyList<LimitAxis> Axes => _axes;

    /// <summary>The seasons with scouting, by their years.</summary>
    public IReadOnlyList<int> Seasons => _scouted.Seasons;

    /// <summary>What a miss costs, in false alarms.</summary>
    public double MissCost => _missCost;

    /// <summary>The sets of the grid.</summary>
    public IReadOnlyList<LimitSet> Sets => _sets;

    /// <summary>How many sets were tried.</summary>
    public int Tried => _sets.Length + _finer.Count;

    /// <summary>The grid's parts.</summary>
    public int Parts => _parts.Length;

    /// <summary>The searches: one with all seasons, and one without each.</summary>
    public int Searches => _found.Length;

    /// <summary>Scores a part of the grid.</summary>
    public void Score(int part)
    {
        var scorer = new LimitScorer(_recording, _scouted, _level, _tables);
        for (var set = _parts[part].From; set < _parts[part].To; set++)
            scorer.Score(_sets[set], _counts.AsSpan(set * Seasons.Count, Seasons.Count));
    }

    /// <summary>Does one search, once every part is scored.</summary>
    /// <param name="search">0: with all seasons; else without that one of <see cref="Seasons"/>, counted from 1.</param>
    public void Search(int search)
    {
        var without = search - 1;
        var best = 0;
        for (var set = 1; set < _sets.Length; set++)
        {
            if (IsBetter(OfGrid(set), _sets[set], OfGrid(best), _sets[best], without))
                best = set;
        }

        _found[search] = Refine(_sets[best], without);
    }

    /// <summary>The set that a search found.</summary>
    /// <param name="search">As for <see cref="Search"/>.</param>
    public LimitSet Found(int search) => _found[search];

    /// <summary>The counts of a set of the grid, season by season.</summary>
    public ReadOnlySpan<Counts> OfGrid(int set) => _counts.AsSpan(set * Seasons.Count, Seasons.Count);

    /// <summary>The counts of any set that was tried, season by season.</summary>
    public Counts[] Of(LimitSet set) => _places.TryGetValue(set, out var place) ? OfGrid(place).ToArray() : _finer[set];

    /// <summary>The looks of any set, season by season.</summary>
    public LookCounts[] LooksOf(LimitSet set)
    {
        var looks = new LookCounts[Seasons.Count];
        new LimitScorer(_recording, _scouted, _level, _tables).Score(set, looks);
        return looks;
    }

    /// <summary>Goes from the grid's best to its better neighbours, with steps half as wide each time.</summary>
    private LimitSet Refine(LimitSet best, int without)
    {
        var (stepped, scorer) = (_axes.Where(axis => axis.Finest > 0).ToList(), new LimitScorer(_recording, _scouted, _level, _tables));
        var steps = stepped.ConvertAll(axis => Half(axis, Spacing(axis, best)));
        var counts = Counted(best);
        for (var moved = true; moved || steps.Exists(step => step > 0);)
        {
            moved = false;
            for (var i = 0; i < stepped.Count; i++)
            {
                foreach (var sign in steps[i] > 0 ? new[] { -1, 1 } : [])
                {
                    if (Moved(best, stepped[i], sign * steps[i]) is not { } next)
                        continue;
                    var theirs = Counted(next);
                    if (!IsBetter(theirs, next, counts, best, without))
                        continue;
                    (best, counts, moved) = (next, theirs, true);
                    break;
                }
            }

            if (!moved)
                steps = [.. steps.Select((step, i) => step <= stepped[i].Finest ? 0 : Half(stepped[i], step))];
        }

        return best;

        Counts[] Counted(LimitSet set)
        {
            if (_places.ContainsKey(set))
                return Of(set);
            return _finer.GetOrAdd(set, one =>
            {
                var found = new Counts[Seasons.Count];
                scorer.Score(one, found);
                return found;
            });
        }
    }

    /// <summary>It cost less; of those that cost the same the one nearer to the present limits: no change without evidence.</summary>
    private bool IsBetter(ReadOnlySpan<Counts> counts, LimitSet set, ReadOnlySpan<Counts> others, LimitSet other, int without)
    {
        var (cost, theirs) = (Cost(counts, without), Cost(others, without));
        return cost < theirs || (cost == theirs && Distance(set) < Distance(other) - 1e-9);
    }

    private double Cost(ReadOnlySpan<Counts> counts, int without)
    {
        var cost = 0.0;
        for (var season = 0; season < counts.Length; season++)
            cost += season == without ? 0 : counts[season].Cost(_missCost);
        return cost;
    }

    private double Distance(LimitSet set) => _axes.Sum(axis => axis.Apart(set, Present));

    private IEnumerable<LimitSet> Grid()
    {
        IEnumerable<LimitSet> sets = [Present];
        foreach (var axis in _axes)
        {
            var figures = axis.Figures.Append(axis.Of(Present)).Distinct().Order().ToList();
            sets = sets.SelectMany(set => figures.Select(figure => axis.With(set, figure)));
        }

        // The other estimators do not ask for the humidity that the threshold asks for.
        return sets.Select(set => set.Spell.Estimator == WetnessEstimator.HumidityThreshold ? set : set with
        {
            Spell = new WetSpellLimits(
                set.Spell.LongestGap.TotalHours, set.Spell.StartsOnAnyWetness, Present.Spell.WetHumidityPct, set.Spell.Estimator),
        });
    }

    /// <summary>Those of the same wet spells, in several parts where what they ask for is kept for all of them.</summary>
    private IEnumerable<(int From, int To)> Parted()
    {
        var most = _sets.Select(set => set.Spell).Distinct().Count() <= LimitTables.Kept ? MostOfPart : _sets.Length;
        var from = 0;
        for (var i = 1; i <= _sets.Length; i++)
        {
            if (i < _sets.Length && i - from < most && _sets[i].Spell == _sets[from].Spell)
                continue;
            yield return (from, i);
            from = i;
        }
    }

    /// <summary>From the set's figure to the next of the grid, the wider of the two ways.</summary>
    private static double Spacing(LimitAxis axis, LimitSet set)
    {
        var at = axis.Of(set);
        var below = axis.Figures.Where(figure => figure < at).DefaultIfEmpty(at).Max();
        var above = axis.Figures.Where(figure => figure > at).DefaultIfEmpty(at).Min();
        return Math.Max(at - below, above - at);
    }

    /// <summary>Half as wide a step, in multiples of the finest.</summary>
    private static double Half(LimitAxis axis, double step) => Math.Max(1, Math.Floor(step / 2 / axis.Finest)) * axis.Finest;

    private static LimitSet? Moved(LimitSet set, LimitAxis axis, double by)
    {
        var figure = Math.Round(axis.Of(set) + by, 6);
        return figure < axis.Figures[0] || figure > axis.Figures[^1] ? null : axis.With(set, figure);
    }
}
