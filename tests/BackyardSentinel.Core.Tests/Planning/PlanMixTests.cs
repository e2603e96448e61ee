using BackyardSentinel.Wording;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

/// <summary>One tank for the trees that wait for it. The arithmetic is by hand: 4 g/L of copper.</summary>
public class PlanMixTests
{
    private static readonly PlanPlanting Tree = Bare() with { SprayVolumeL = 5 };

    private static readonly PlanPlanting Other = Tree with { Id = "gate-nectarine", SprayVolumeL = 3 };

    [Fact]
    public void A_tank_holds_what_all_trees_that_wait_for_it_take_and_names_the_best_time()
    {
        var (mix, findings, _) = Mix([Tree, Other]);

        Assert.Equal([Peach, "gate-nectarine"], mix!.Plantings);
        Assert.Equal((8.0, 32.0), (mix.Tank.WaterL, mix.Tank.ProductAmount));
        Assert.Empty(findings);
        var slots = SprayPlanner.Plan(For([Tree, Other], Copper)).Slots;
        Assert.Equal(slots.Where(slot => slot.Score == slots.Max(one => one.Score)).Min(slot => slot.Start), mix.Slot!.Start);

        Assert.Equal(2.0, Mix([Tree, Other], volumeL: 2).Mix!.Tank.WaterL);
    }

    [Fact]
    public void A_tree_that_has_had_its_own_is_left_out_and_said_so()
    {
        var (mix, findings, _) = Mix([Tree, Other], sprays: Spray(1, "2027-01-17"));

        Assert.Equal("gate-nectarine", Assert.Single(mix!.Plantings));
        Assert.Equal((3.0, "gate-nectarine"), (mix.Tank.WaterL, mix.Slot!.Planting));
        Assert.Equal(["No copper is mixed for white-peach: no spray is due on it."], findings);
    }

    [Fact]
    public void Where_it_is_refused_throughout_there_is_no_tank_and_the_reason_is_told()
    {
        var forbidden = Copper with { Label = new LabelLimit { ExcludedKinds = [TreeKind.Apricot] } };

        var (mix, findings, unsized) = Mix([Tree with { Kind = TreeKind.Apricot, SprayVolumeL = null }], forbidden);

        Assert.Equal((null, null), (mix, unsized));
        Assert.StartsWith("No copper is mixed for white-peach: ", Assert.Single(findings), StringComparison.Ordinal);
    }

    [Fact]
    public void A_tree_without_a_volume_is_named_unless_the_grower_says_how_much()
    {
        var bare = Other with { SprayVolumeL = null };

        var (mix, _, unsized) = Mix([Tree, bare]);
        Assert.Equal((null, "gate-nectarine"), (mix, unsized?.Id));

        (mix, _, unsized) = Mix([Tree, bare], volumeL: 6);
        Assert.Equal((6.0, null), (mix!.Tank.WaterL, unsized));
    }

    [Fact]
    public void What_cannot_be_mixed_is_told()
    {
        var (mix, findings, _) = Mix([Tree], Copper with { DosePerL = null });

        Assert.Null(mix);
        Assert.Equal(["No mix: Product copper has no dose; enter the label's in the garden file."], findings);
    }

    private static PlanRequest For(PlanPlanting[] plantings, SprayProduct product, params SprayEntry[] sprays) =>
        Request(plantings[0], product, sprays) with { Plantings = plantings };

    private static (PlanMix? Mix, IReadOnlyList<string> Findings, PlanPlanting? Unsized) Mix(
        PlanPlanting[] plantings, SprayProduct? product = null, double? volumeL = null, params SprayEntry[] sprays)
    {
        var request = For(plantings, product ?? Copper, sprays);
        List<Sentence> findings = [];
        var mix = PlanMix.For(request, SprayPlanner.Plan(request), product ?? Copper, volumeL, findings, out var unsized);
        return (mix, [.. findings.Select(one => one.Text)], unsized);
    }
}
