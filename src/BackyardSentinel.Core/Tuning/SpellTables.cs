using System.Collections.Concurrent;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Tuning;

/// <summary>The spells of a recording by the limits that make them, each followed once. It serves several threads.</summary>
/// <param name="recording">The recording.</param>
internal sealed class SpellTables(Recording recording)
{
    /// <summary>So many are kept, for they are large; a grid over more makes the others as it comes to them.</summary>
    private const int Kept = 32;

    private readonly ConcurrentDictionary<WetSpellLimits, SpellTable[]> _kept = new();

    /// <summary>The spells of each planting. Those under the open sky share theirs.</summary>
    public SpellTable[] Of(WetSpellLimits limits)
    {
        if (_kept.TryGetValue(limits, out var tables))
            return tables;
        tables = Follow(limits);
        return _kept.Count < Kept ? _kept.GetOrAdd(limits, tables) : tables;
    }

    private SpellTable[] Follow(WetSpellLimits limits)
    {
        var plantings = Enumerable.Range(0, recording.Site.Plantings.Count).ToList();
        var open = plantings.FindAll(planting => !recording.IsSheltered(planting));
        var shared = open.Count > 0 ? SpellTable.Of(recording, limits, open) : null;
        return [.. plantings.Select(planting => recording.IsSheltered(planting) ? SpellTable.Of(recording, limits, [planting]) : shared!)];
    }
}
