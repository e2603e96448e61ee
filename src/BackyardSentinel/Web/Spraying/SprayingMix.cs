using BackyardSentinel.Planning;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web.Spraying;

/// <summary>The mix for the next spray.</summary>
internal static class SprayingMix
{
    /// <summary>The mix, and why there is none or not for all.</summary>
    public static (MixView? Mix, IReadOnlyList<string> Why) Of(SprayingScene scene)
    {
        if (scene.Next is null || scene.NextProduct is not { } product)
            return (null, []);
        var (words, units, request) = (scene.Visit.Words, scene.Request.Units, scene.Request);
        List<Sentence> against = [];
        var mix = PlanMix.For(request, scene.Plan, product, null, against, out var unsized);
        List<string> why = [.. against.Select(words.Say)];
        if (mix is null)
        {
            if (unsized is not null)
                why.Add(scene.Say("mix.unsized", ("name", unsized.Called)));
            return (null, why);
        }

        var plantings = request.Plantings.Where(one => mix.Plantings.Contains(one.Id)).ToList();
        return (
            new MixView(
                scene.Say("mix", ("product", product.Name), ("names", words.List([.. plantings.Select(one => one.Called)]))),
                mix.Slot is { } slot
                    ? scene.Say("mix.for", ("from", words.Moment(slot.Start)), ("to", words.Moment(slot.End, slot.Start)))
                    : scene.Say("mix.no-hours"),
                [.. mix.Tank.Safety.Select(words.Say)],
                [
                    (scene.Say("mix.water"), words.Figure(mix.Tank.Water)),
                    (
                        scene.Say(
                            "mix.product",
                            ("product", product.Name),
                            ("dose", words.Figure(Garden.ProductAmounts.Dose(units, product.DosePerL!.Value, product.Unit)))),
                        words.Figure(mix.Tank.Product)),
                    .. product.CopperG(mix.Tank.WaterL) is > 0 and var copper
                        ? new[] { (scene.Say("mix.copper"), words.Figure(units.Mass(copper))) }
                        : [],
                ],
                [.. mix.Tank.Steps.Select(words.Say)],
                plantings.Count < 2
                    ? ""
                    : words.List(
                        [
                            .. plantings.Select(
                                one =>
                                    scene.Say(
                                        "mix.share",
                                        ("name", one.Called),
                                        ("volume", words.Figure(units.Volume(one.SprayVolumeL!.Value))))),
                        ])),
            why);
    }
}
