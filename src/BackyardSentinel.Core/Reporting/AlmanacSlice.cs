using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Reporting;

/// <summary>What a site's almanac knows of a time: a copy that nobody changes. All spans are half-open and cut at its ends.</summary>
/// <param name="From">From when, UTC: asked for, or the first that was judged.</param>
/// <param name="To">Until when, UTC: asked for, or the last that was judged.</param>
/// <param name="Hours">The weather by hours; the first and the last may reach over the ends.</param>
/// <param name="Days">The local days that are over.</param>
/// <param name="Wetness">Whether leaves were wet.</param>
/// <param name="Missing">What was not known.</param>
/// <param name="Spells">Wet spells that touch the time, the running one last, in full.</param>
/// <param name="RunningSpell">The last of them runs still.</param>
/// <param name="Doubts">Series that were doubted.</param>
/// <param name="Plantings">The plantings, in the site's order.</param>
public sealed record AlmanacSlice(
    DateTimeOffset From,
    DateTimeOffset To,
    IReadOnlyList<AlmanacHour> Hours,
    IReadOnlyList<AlmanacDay> Days,
    IReadOnlyList<Stretch<WetnessState>> Wetness,
    IReadOnlyList<Stretch<Missing>> Missing,
    IReadOnlyList<WetSpell> Spells,
    bool RunningSpell,
    IReadOnlyList<DoubtHeld> Doubts,
    IReadOnlyList<PlantingSlice> Plantings);

/// <summary>What is known of one planting in the time.</summary>
/// <param name="Planting">Its id.</param>
/// <param name="Levels">Its levels by the driving rule.</param>
/// <param name="Tissue">Whether it could be infected.</param>
/// <param name="Cover">What was left of a protectant; <c>null</c> without a journal.</param>
/// <param name="Windows">Infection windows of all rules that touch the time, by their opening, in full.</param>
/// <param name="Stages">Stages seen and computed, by their becoming known; days near the ends of the time may lie outside it.</param>
/// <param name="Closings">When its season ended.</param>
/// <param name="Sums">Chill and warmth by days, where stages are followed.</param>
public sealed record PlantingSlice(
    string Planting,
    IReadOnlyList<Stretch<LevelHeld>> Levels,
    IReadOnlyList<Stretch<Tissue>> Tissue,
    IReadOnlyList<Stretch<Cover?>> Cover,
    IReadOnlyList<InfectionWindow> Windows,
    IReadOnlyList<BudStageReached> Stages,
    IReadOnlyList<InfectionSeasonClosed> Closings,
    IReadOnlyList<SumsOfDay> Sums)
{
    /// <summary>A fresh cover was on the tree when the window behind a level opened.</summary>
    /// <param name="held">One of <see cref="Levels"/>.</param>
    /// <param name="rule">The rule that gives the level.</param>
    public bool IsCovered(Stretch<LevelHeld> held, string rule) => held.Value.Level >= Level.Possible && Windows.Any(window =>
        window is { Sheltered: false, Cover: Garden.Cover.Fresh } && window.Rule == rule
        && window.OpenedAt < held.To && !(window.ClosedAt <= held.From));

    /// <summary>Nobody knew at a moment whether the buds had opened.</summary>
    /// <param name="at">When, UTC.</param>
    public bool BudsMayBeOpen(DateTimeOffset at) => Tissue.Any(held =>
        held.From <= at && at < held.To && held.Value is { Buds: Phenology.BudState.MayBeOpen, Susceptible: true });
}
