using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>The coming days.</summary>
/// <param name="AsOf">When it was made, UTC.</param>
/// <param name="Until">The end of what it looks at, UTC.</param>
/// <param name="Forecast">The forecast that was used; <c>null</c>: none, or too old a one.</param>
/// <param name="Plantings">What stands with each planting.</param>
/// <param name="Slots">Times to spray, by planting, product and rank.</param>
/// <param name="Refused">Times not to spray whatever the weather, by planting and product.</param>
/// <param name="Notes">What the reader must know about it, a sentence each.</param>
public sealed record SprayPlan(
    DateTimeOffset AsOf,
    DateTimeOffset Until,
    Forecast? Forecast,
    IReadOnlyList<PlantingPlan> Plantings,
    IReadOnlyList<SpraySlot> Slots,
    IReadOnlyList<RefusedSpray> Refused,
    IReadOnlyList<Sentence> Notes)
{
    /// <summary>The slots that serve a spray that is due: of products against curl, from the day on from which they would count.</summary>
    /// <param name="request">What the plan was made from.</param>
    public IEnumerable<SpraySlot> DueSlots(PlanRequest request) =>
        from planting in Plantings
        let due = planting.Due.FirstOrDefault(one => one.What.IsSpray())
        where due is not null
        from slot in Slots
        where slot.Planting == planting.Planting
            && request.Products.Any(product => product.Id == slot.Product && product.Active.IsFungicide())
            && !(LocalDay.Of(slot.Start, request.Zone) < due.CountsFrom)
        select slot;

    /// <summary>A refusal holds from the beginning of the plan to its end: there is no time in it for this spray.</summary>
    /// <param name="refused">One of those that the plan has.</param>
    public bool IsThroughout(RefusedSpray refused) => refused.From <= AsOf && refused.To >= Until;
}
