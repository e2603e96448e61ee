using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Commands.Plan;

/// <summary>A tank mix for the plantings on which a product is not refused.</summary>
/// <param name="Product">The product's id.</param>
/// <param name="Plantings">The plantings it is for.</param>
/// <param name="Slot">The best slot of the first of them; <c>null</c>: none is named.</param>
/// <param name="Tank">What goes into the sprayer.</param>
public sealed record PlanMix(string Product, IReadOnlyList<string> Plantings, SpraySlot? Slot, TankMix Tank)
{
    /// <summary>Reckons the mix; where there is none, why is found.</summary>
    /// <param name="request">What the plan was made from.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="id">The product's id.</param>
    /// <param name="volumeL">Mixture wanted, L; <c>null</c>: what the plantings' spray volumes add up to.</param>
    /// <param name="findings">Gets a sentence for what stands against it.</param>
    /// <exception cref="CommandProblemException">There is no such product, or no volume is known.</exception>
    public static PlanMix? For(
        PlanRequest request,
        SprayPlan plan,
        string id,
        double? volumeL,
        ICollection<string> findings)
    {
        var product =
            request.Products.FirstOrDefault(one => one.Id == id)
            ?? throw new CommandProblemException(
                $"--mix: the garden file has no product {id}; it has {(request.Products.Count == 0 ? "none" : string.Join(", ", request.Products.Select(one => one.Id)))}.");
        List<string> plantings = [];
        foreach (var planting in request.Plantings)
        {
            // Refused until the end of the plan: there is no time in it for which to mix.
            var refused = plan.Refused.FirstOrDefault(one =>
                one.Planting == planting.Id && one.Product == id && one.From <= plan.AsOf && one.To >= plan.Until);
            if (refused is null)
                plantings.Add(planting.Id);
            else
                findings.Add(
                    $"No {product.Name} is mixed for {planting.Called}: {refused.Reason}{(refused.Reason.EndsWith('.') ? "" : ".")}");
        }

        if (plantings.Count == 0)
            return null;
        var volume =
            volumeL
            ?? plantings.Sum(one =>
                request.Plantings.First(tree => tree.Id == one).SprayVolumeL
                ?? throw new CommandProblemException(
                    $"--mix: {one} has no spray_volume in the garden file; say how much with --volume, such as --volume \"5 L\"."));
        if (TankMix.For(product, volume, request.Units, out var problem) is not { } tank)
        {
            findings.Add($"No mix: {problem}");
            return null;
        }

        var slot = plan
            .Slots.Where(one => one.Product == id && plantings.Contains(one.Planting))
            .OrderByDescending(one => one.Score)
            .ThenBy(one => one.Start)
            .FirstOrDefault();
        return new PlanMix(id, plantings, slot, tank);
    }
}
