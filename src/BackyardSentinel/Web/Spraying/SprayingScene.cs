using BackyardSentinel.Garden;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Web.Spraying;

/// <summary>The plan that the page Spraying shows, and what is asked of it again and again.</summary>
/// <param name="Visit">The visit.</param>
/// <param name="Leaf">What stands round the page.</param>
/// <param name="Request">What the plan was made from.</param>
/// <param name="Plan">The plan.</param>
internal sealed record SprayingScene(Visit Visit, Leaf Leaf, PlanRequest Request, SprayPlan Plan)
{
    /// <summary>The soonest spray that is due; <c>null</c>: none.</summary>
    public DueSpray? Next { get; } = NextOf(Plan);

    /// <summary>Products against curl that may go on some planting.</summary>
    public IReadOnlyList<SprayProduct> FreeFungicides { get; } =
    [
        .. Request.Products.Where(product => product.Active.IsFungicide()
            && Request.Plantings.Any(
                planting => !Plan.Refused.Any(one => one.Planting == planting.Id && one.Product == product.Id && Plan.IsThroughout(one)))),
    ];

    /// <summary>The best hours for a product against curl; <c>null</c>: none are in sight.</summary>
    public SpraySlot? Best => Plan.DueSlots(Request)
        .OrderByDescending(slot => slot.Score)
        .ThenBy(slot => slot.Start)
        .FirstOrDefault();

    /// <summary>The product that would be sprayed next: of the best hours, or the first that may; <c>null</c>: none.</summary>
    public SprayProduct? NextProduct =>
        FreeFungicides.FirstOrDefault(product => product.Id == Best?.Product) ?? (FreeFungicides.Count > 0 ? FreeFungicides[0] : null);

    /// <summary>A sentence or word of this page.</summary>
    /// <param name="key">Its name without <c>spraying.</c>.</param>
    /// <param name="values">What is filled in.</param>
    public string Say(string key, params ReadOnlySpan<(string Name, string Value)> values) => Visit.Words.Say("spraying." + key, values);

    /// <summary>The soonest spray that a plan has due; <c>null</c>: none.</summary>
    /// <param name="plan">The plan.</param>
    public static DueSpray? NextOf(SprayPlan plan) =>
        plan.Plantings.SelectMany(planting => planting.Due).Where(due => due.What.IsSpray()).MinBy(due => due.By ?? DateOnly.MaxValue);

    /// <summary>The copper of a planting today.</summary>
    /// <param name="planting">The planting.</param>
    public CopperBalance Balance(PlanPlanting planting) => Plan.Plantings.First(one => one.Planting == planting.Id).Copper;

    /// <summary>The copper that the next spray would bring to a planting, g; <c>null</c>: none, or it cannot be reckoned.</summary>
    /// <param name="planting">The planting.</param>
    public double? NextCopperG(PlanPlanting planting) =>
        NextProduct is { } product && IsDueOn(planting, product) && planting.SprayVolumeL is { } litres
            && product.CopperG(litres) is > 0 and var grams
            ? grams
            : null;

    private bool IsDueOn(PlanPlanting planting, SprayProduct product) =>
        Plan.Plantings.First(one => one.Planting == planting.Id).Due.Any(due => due.What.IsSpray()) && !IsRefused(planting, product);

    /// <summary>A product must not go on a planting as far as the plan looks.</summary>
    /// <param name="planting">The planting.</param>
    /// <param name="product">The product.</param>
    public bool IsRefused(PlanPlanting planting, SprayProduct product) =>
        Plan.Refused.Any(one => one.Planting == planting.Id && one.Product == product.Id && Plan.IsThroughout(one));

    /// <summary>The copper of a planting after the next spray; <c>null</c>: the next brings none, or it cannot be reckoned.</summary>
    /// <param name="planting">The planting.</param>
    public CopperBalance? WouldBe(PlanPlanting planting) =>
        NextCopperG(planting) is { } grams && Request.Ledger.KgPerHa(planting.Id, grams) is { } more
        ? Balance(planting) is var now
            ? now with
            {
                SeasonG = now.SeasonG + grams,
                SeasonKgPerHa = now.SeasonKgPerHa + more,
                SevenYearG = now.SevenYearG + grams,
                SevenYearKgPerHa = now.SevenYearKgPerHa + more,
            }
            : null
        : null;
}
