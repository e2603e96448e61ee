using System.Collections.Concurrent;
using System.Diagnostics.CodeAnalysis;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Tuning;

/// <summary>
/// What the rules ask of a recording, reckoned once for all sets of limits for which it is the same. It serves several threads.
/// </summary>
internal sealed class LimitTables
{
    /// <summary>So many are kept of each kind, for they are large; a grid over more makes the others as it comes to them.</summary>
    public const int Kept = 32;

    private readonly Recording _recording;
    private readonly TwoDayLimits? _widest;
    private readonly ConcurrentDictionary<WetSpellLimits, Lazy<SpellTable[]>> _spells = new();
    private readonly ConcurrentDictionary<WetSpellLimits, Lazy<StretchTable[]>> _stretches = new();
    private readonly Lazy<RainDayTable[]> _rainDays;

    /// <summary>Makes them as they are asked for.</summary>
    /// <param name="recording">The recording.</param>
    /// <param name="sets">The limits that will be asked for; stretches of others are followed by themselves, each time.</param>
    public LimitTables(Recording recording, IReadOnlyCollection<LimitSet> sets)
    {
        _recording = recording;
        List<TwoDayLimits> stretches = [.. sets.Select(set => set.Rule).OfType<TwoDayLimits>()];
        _widest = stretches.Count > 0 ? StretchTable.Widest(stretches) : null;
        _rainDays = new Lazy<RainDayTable[]>(() => [.. Plantings.Select(planting => RainDayTable.Of(recording, planting))]);
    }

    private IEnumerable<int> Plantings => Enumerable.Range(0, _recording.Site.Plantings.Count);

    /// <summary>The wet spells of each planting. Those under the open sky share theirs.</summary>
    public SpellTable[] Spells(WetSpellLimits limits) => Of(_spells, limits, FollowSpells);

    /// <summary>The days of each planting on which it rained.</summary>
    public RainDayTable[] RainDays() => _rainDays.Value;

    /// <summary>The stretches of each planting in which the rule <c>two-day</c> may count hours.</summary>
    public StretchTable[] Stretches(WetSpellLimits wet, TwoDayLimits limits) =>
        _widest is { } widest && StretchTable.Covers(widest, limits)
            ? Of(_stretches, wet, one => FollowStretches(one, widest))
            : FollowStretches(wet, limits);

    private static T Of<[DynamicallyAccessedMembers(DynamicallyAccessedMemberTypes.PublicParameterlessConstructor)] T>(
        ConcurrentDictionary<WetSpellLimits, Lazy<T>> kept, WetSpellLimits limits, Func<WetSpellLimits, T> follow) =>
        kept.TryGetValue(limits, out var tables) ? tables.Value
        : kept.Count < Kept ? kept.GetOrAdd(limits, one => new Lazy<T>(() => follow(one))).Value
        : follow(limits);

    private SpellTable[] FollowSpells(WetSpellLimits limits)
    {
        var open = Plantings.Where(planting => !_recording.IsSheltered(planting)).ToList();
        var shared = open.Count > 0 ? SpellTable.Of(_recording, limits, open) : null;
        return
        [
            .. Plantings.Select(planting => _recording.IsSheltered(planting) ? SpellTable.Of(_recording, limits, [planting]) : shared!),
        ];
    }

    private StretchTable[] FollowStretches(WetSpellLimits wet, TwoDayLimits limits) =>
        [.. Plantings.Select(planting => StretchTable.Of(_recording, planting, wet, limits))];
}
