using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Watching;

/// <summary>Which facts of the pipeline may deserve a message, and as what.</summary>
public static class OccasionOf
{
    /// <summary>The occasion that a fact makes; <c>null</c>: none.</summary>
    /// <param name="fact">The fact, just told.</param>
    /// <param name="site">Its site.</param>
    /// <param name="plantings">The watches of the site's plantings, as they stand.</param>
    public static Occasion? Fact(SentinelEvent fact, Site site, IReadOnlyList<PlantingWatch> plantings) =>
        fact switch
        {
            LevelChanged change => Risen(change, plantings.First(one => one.Planting.Id == change.Planting), site),
            CoverChanged { Cover: Cover.Spent } cover => new CoverSpent(
                cover.Site,
                cover.Planting,
                cover.At,
                cover.Product,
                cover.RainMm,
                cover.SprayedOn)
            {
                ProductName = site.ProductCalled(cover.Product),
            },
            CoverChanged cover => new CoverToRecheck(cover.Site, cover.Planting, cover.At, cover.Product, cover.RainMm, cover.SprayedOn)
            {
                ProductName = site.ProductCalled(cover.Product),
            },
            ScoutingFellDue due => new ScoutingDue(due.Site, due.Planting, due.At, due.WindowOpenedAt, due.LikelyFrom, due.LikelyTo)
            {
                MayNotDevelop = due.MayNotDevelop,
                Likely = due.Likely,
            },
            PickingFellDue due => new PickingDue(due.Site, due.Planting, due.At, due.ScoutedOn),
            InfectionSeasonClosed closed => new SeasonClosed(closed.Site, closed.Planting, closed.At, closed.WarmDays)
            {
                CurlMayShow = closed.CurlMayShow,
                Sheltered = closed.Sheltered,
            },
            BudLookFellDue due => new LookAtBuds(due.Site, due.Planting, due.At, due.Code, due.Expected, due.On, due.ATableWouldHelp)
            {
                SeenSwelling = due.SeenSwelling,
            },
            NeedsFellShort needs => new NeedsNotMet(needs.Site, needs.Planting, needs.At, needs.Chill, needs.Need),
            ReadingsDoubted doubted => new ReadingsDoubtful(doubted.Site, doubted.At, doubted.Doubt),
            // Spells and windows are told by the levels they give; stages are the grower's own news or the model's.
            WetSpellStarted or WetSpellEnded or InfectionWindowOpened or InfectionWindowClosed or BudsChanged or BudStageReached
                or ReadingsTrusted => null,
            _ => throw new System.Diagnostics.UnreachableException($"It is not settled whether {fact.Key} deserves a message."),
        };

    private static LevelRisen Risen(LevelChanged change, PlantingWatch watch, Site site) =>
        LevelRisen.Of(change, watch.Risk, watch.SymptomDays, site);
}
