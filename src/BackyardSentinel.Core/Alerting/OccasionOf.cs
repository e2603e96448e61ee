using BackyardSentinel.Events;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Alerting;

/// <summary>Which facts of the pipeline may deserve a message, and as what.</summary>
public static class OccasionOf
{
    /// <summary>The occasion that a fact makes; <c>null</c>: none.</summary>
    /// <param name="fact">The fact, just told.</param>
    /// <param name="watch">Its site's watch, as it stands.</param>
    public static Occasion? Fact(SentinelEvent fact, SiteWatch watch) => fact switch
    {
        LevelChanged change => Level(change, watch),
        CoverChanged { Cover: Cover.Spent } cover => new CoverSpent(cover.Site, cover.Planting, cover.At, cover.Product, cover.RainMm, cover.SprayedOn) { ProductName = Name(cover.Product, watch) },
        CoverChanged cover => new CoverToRecheck(cover.Site, cover.Planting, cover.At, cover.Product, cover.RainMm, cover.SprayedOn) { ProductName = Name(cover.Product, watch) },
        ScoutingFellDue due => new ScoutingDue(due.Site, due.Planting, due.At, due.WindowOpenedAt, due.LikelyFrom, due.LikelyTo) { MayNotDevelop = due.MayNotDevelop, Likely = due.Likely },
        PickingFellDue due => new PickingDue(due.Site, due.Planting, due.At, due.ScoutedOn),
        Events.SeasonClosed closed => new SeasonClosed(closed.Site, closed.Planting, closed.At, closed.WarmDays) { CurlMayShow = closed.CurlMayShow, Sheltered = closed.Sheltered },
        BudLookFellDue due => new LookAtBuds(due.Site, due.Planting, due.At, due.Code, due.Expected, due.On, due.ATableWouldHelp),
        NeedsFellShort needs => new NeedsNotMet(needs.Site, needs.Planting, needs.At, needs.Chill, needs.Need),
        ReadingsDoubted doubted => new ReadingsDoubtful(doubted.Site, doubted.At, doubted.Doubt),
        // Spells and windows are told by the levels they give; stages are the grower's own news or the model's.
        _ => null,
    };

    private static string Name(string product, SiteWatch watch) => watch.Site.ProductCalled(product);

    private static LevelRisen? Level(LevelChanged change, SiteWatch watch)
    {
        var risk = watch.Plantings.First(planting => planting.Planting.Id == change.Planting).Risk;
        return LevelRisen.Of(change, risk, watch.Site.LevelRule, risk.Spell, risk.Cover?.Word());
    }
}
