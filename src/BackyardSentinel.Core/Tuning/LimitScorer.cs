using System.Runtime.InteropServices;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Tuning;

/// <summary>
/// Finds the windows that a set of limits would have opened and counts what scouting made of them. Sets that make the same wet
/// spells are scored one after the other. One scorer serves one thread.
/// </summary>
public sealed class LimitScorer
{
    private readonly Recording _recording;
    private readonly ScoutedSeasons _scouted;
    private readonly Level _level;
    private readonly LimitTables _tables;
    private readonly List<int> _opened = [];
    private readonly List<bool> _covered = [];
    private SpellTable[] _spells = [];
    private WetSpellLimits? _spell;

    /// <summary>A scorer by itself.</summary>
    /// <param name="recording">What the rules were given.</param>
    /// <param name="scouted">What was found.</param>
    /// <param name="level">Only windows that come to this level count.</param>
    public LimitScorer(Recording recording, ScoutedSeasons scouted, Level level)
        : this(recording, scouted, level, new LimitTables(recording, []))
    {
    }

    internal LimitScorer(Recording recording, ScoutedSeasons scouted, Level level, LimitTables tables) =>
        (_recording, _scouted, _level, _tables) = (recording, scouted, level, tables);

    /// <summary>Counts, season by season.</summary>
    /// <param name="set">The limits.</param>
    /// <param name="seasons">Gets the counts of each season.</param>
    public void Score(LimitSet set, Span<Counts> seasons)
    {
        seasons.Clear();
        for (var planting = 0; planting < _recording.Site.Plantings.Count; planting++)
        {
            FindDays(set, planting);
            _scouted.Add(planting, CollectionsMarshal.AsSpan(_opened), CollectionsMarshal.AsSpan(_covered), seasons);
        }
    }

    /// <summary>Counts looks, season by season.</summary>
    /// <param name="set">The limits.</param>
    /// <param name="seasons">Gets the counts of each season.</param>
    public void Score(LimitSet set, Span<LookCounts> seasons)
    {
        seasons.Clear();
        for (var planting = 0; planting < _recording.Site.Plantings.Count; planting++)
        {
            FindDays(set, planting);
            _scouted.AddLooks(planting, CollectionsMarshal.AsSpan(_opened), CollectionsMarshal.AsSpan(_covered), seasons);
        }
    }

    /// <summary>The intervals in which the windows of a planting opened; good until the next call.</summary>
    /// <param name="set">The limits.</param>
    /// <param name="planting">The planting, by number.</param>
    public List<int> Openings(LimitSet set, int planting)
    {
        _opened.Clear();
        switch (set.Rule)
        {
            case WetHoursLimits limits:
                AddFromSpells(set.Spell, limits, planting);
                break;
            case TwoDayLimits limits:
                _tables.Stretches(set.Spell, limits)[planting].AddOpenings(limits, _level, _opened);
                break;
            case RainDayLimits limits when _level <= Level.Likely:
                _tables.RainDays()[planting].AddOpenings(limits, _opened);
                break;
        }

        return _opened;
    }

    /// <summary>The days on which windows opened, and whether the tree was covered then.</summary>
    private void FindDays(LimitSet set, int planting)
    {
        Openings(set, planting);
        _covered.Clear();
        for (var i = 0; i < _opened.Count; i++)
        {
            _covered.Add(_recording.CoverOf(planting, _opened[i]) is Cover.Fresh or Cover.Recheck);
            _opened[i] = _recording.DayOf(_opened[i]);
        }
    }

    private void AddFromSpells(WetSpellLimits spell, WetHoursLimits limits, int planting)
    {
        if (_spell != spell)
            (_spell, _spells) = (spell, _tables.Spells(spell));
        var table = _spells[planting];
        var rule = _level > Level.Possible ? new WetHoursRule("", limits) : null;
        foreach (ref readonly var run in table.Runs)
        {
            var at = table.Opening(run, limits, _recording, planting);
            if (at >= 0 && (rule is null || table.Reaches(_level, run, at, rule, _recording, planting)))
                _opened.Add(table.IntervalOf(at));
        }
    }
}
