using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>
/// A tank mix for the plantings on which a spray is due, or for all where none is, as far as the product is not refused on them.
/// </summary>
/// <param name="Product">The product's id.</param>
/// <param name="Plantings">The plantings it is for.</param>
/// <param name="Slot">The best slot of the first of them; <c>null</c>: none is named.</param>
/// <param name="Tank">What goes into the sprayer.</param>
public sealed record PlanMix(string Product, IReadOnlyList<string> Plantings, SpraySlot? Slot, TankMix Tank)
{
    /// <summary>Reckons the mix; where there is none, why is found.</summary>
    /// <param name="request">What the plan was made from.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="product">The product, one of the request's.</param>
    /// <param name="volumeL">Mixture wanted, L; <c>null</c>: what the plantings' spray volumes add up to.</param>
    /// <param name="findings">Gets a sentence for what stands against it.</param>
    /// <param name="unsized">A planting whose spray volume nobody gave, so that there is no mix; <c>null</c>: none.</param>
    public static PlanMix? For(
        PlanRequest request,
        SprayPlan plan,
        SprayProduct product,
        double? volumeL,
        ICollection<Sentence> findings,
        out PlanPlanting? unsized)
    {
        unsized = null;
        List<PlanPlanting> plantings = [];
        var due = plan.Plantings.Where(one => one.Due.Any(spray => spray.What.IsSpray())).Select(one => one.Planting).ToHashSet();
        foreach (var planting in request.Plantings)
        {
            // Where some trees wait for a spray the tank is for them; a tree that has had its own needs no more copper.
            if (due.Count > 0 && !due.Contains(planting.Id))
            {
                findings.Add($"No {new Name(product.Name)} is mixed for {new Name(planting.Called)}: no spray is due on it.");
                continue;
            }

            // Refused until the end of the plan: there is no time in it for which to mix.
            var refused = plan.Refused.FirstOrDefault(
                one => one.Planting == planting.Id && one.Product == product.Id && plan.IsThroughout(one));
            if (refused is null)
                plantings.Add(planting);
            else
                findings.Add(
                    $"No {new Name(product.Name)} is mixed for {new Name(planting.Called)}: {refused.Reason.Ended()}");
        }

        if (plantings.Count == 0)
            return null;
        unsized = volumeL is null ? plantings.FirstOrDefault(one => one.SprayVolumeL is null) : null;
        if (unsized is not null)
            return null;
        if (TankMix.For(product, volumeL ?? plantings.Sum(one => one.SprayVolumeL!.Value), request.Units, out var problem) is not { } tank)
        {
            findings.Add($"No mix: {problem!}");
            return null;
        }

        var slot = plan
            .Slots.Where(one => one.Product == product.Id && plantings.Any(tree => tree.Id == one.Planting))
            .OrderByDescending(one => one.Score)
            .ThenBy(one => one.Start)
            .FirstOrDefault();
        return new PlanMix(product.Id, [.. plantings.Select(one => one.Id)], slot, tank);
    }
}
