using BackyardSentinel.Spraying;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Spraying;

public class TankMixTests
{
    // A University of California recipe, 10 lb of copper sulfate and 10 lb of lime in 100 US gallons; the copper by hand.
    [Fact]
    public void Bordeaux_10_10_100_has_three_grams_of_copper_in_a_litre()
    {
        var bordeaux = SprayTemplates.All.Single(one => one.Id == "bordeaux");
        var mix = TankMix.For(bordeaux, 100 * 3.785411784, UnitSystem.Us, out _)!;

        Assert.Equal(3.05, bordeaux.DosePerL!.Value * bordeaux.CopperGPerUnit!.Value, 0.005);
        Assert.Equal(("100 gal", "160 oz"), (mix.Water, mix.Product)); // 10 lb are 160 oz.
        Assert.Equal(3, mix.Steps.Count);
        Assert.Contains("160 oz of hydrated lime", mix.Steps[1].Text, StringComparison.Ordinal);
        Assert.StartsWith("Pour the copper into the lime", mix.Steps[2].Text, StringComparison.Ordinal);
    }

    // A label (0.772 lb of copper in a US gallon of an 8 % liquid) at a nursery's 2 fl oz in a gallon; the copper by hand.
    [Fact]
    public void A_liquid_copper_at_two_fluid_ounces_in_a_gallon_is_counted_through_its_density()
    {
        var liquid = Copper with
        {
            Active = ActiveIngredient.CopperDiammineAcetate,
            CopperPct = 8,
            Unit = ProductUnit.Millilitre,
            DensityKgPerL = 0.772 * 453.59237 / 3785.411784 / 0.08,
            DosePerL = 2 * 29.5735295625 / 3.785411784,
        };

        Assert.Equal(1.45, liquid.DosePerL!.Value * liquid.CopperGPerUnit!.Value, 0.005);
        Assert.Equal("4 fl oz", TankMix.For(liquid, 2 * 3.785411784, UnitSystem.Us, out _)!.Product);
        Assert.Equal("2 fl oz (4 tbsp)", TankMix.For(liquid, 3.785411784, UnitSystem.Us, out _)!.Product);
    }

    [Fact]
    public void A_metric_mix_is_told_in_the_order_of_filling()
    {
        var mix = TankMix.For(Copper, 5, UnitSystem.Metric, out var problem)!;

        Assert.Null(problem);
        Assert.Equal(("5 L", "20 g", 5.0, 20.0), (mix.Water, mix.Product, mix.WaterL, mix.ProductAmount));
        Assert.Contains("2.5 L", mix.Steps[0].Text, StringComparison.Ordinal);
        Assert.Contains("20 g", mix.Steps[2].Text, StringComparison.Ordinal);
        Assert.StartsWith("The label is the law", mix.Safety[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_product_carries_its_cautions()
    {
        var lime = TankMix
            .For(
                LimeSulfur with
                {
                    Label = new()
                    {
                        ReEntryH = 48,
                        PreHarvestDays = 30,
                        MaxTemperatureC = 29,
                    },
                },
                5,
                UnitSystem.Us,
                out _
            )!
            .Safety;
        Assert.Contains(lime, line => line.Text.StartsWith("DANGER", StringComparison.Ordinal));
        Assert.Contains(lime, line => line.Text.Contains("Never on apricot", StringComparison.Ordinal));
        Assert.Contains(lime, line => line.Text.Contains("48 h", StringComparison.Ordinal));
        Assert.Contains(lime, line => line.Text.Contains("30 days", StringComparison.Ordinal));
        Assert.Contains("Not above 84.2 °F.", lime.Select(one => one.Text));

        foreach (var product in new[] { Copper, LimeSulfur, Oil, SprayTemplates.All.Single(one => one.Id == "bordeaux") })
        {
            var safety = TankMix.For(product, 5, UnitSystem.Metric, out _)!.Safety;
            foreach (var word in new[] { "loves", "bees", "ponds", "dried", "label" })
                Assert.Contains(safety, line => line.Text.Contains(word, StringComparison.Ordinal));
            Assert.Equal(product.IsTemplate, safety.Any(line => line.Text.Contains("generic figures", StringComparison.Ordinal)));
        }
    }

    [Theory]
    [InlineData(0, "volume of 0 L")]
    [InlineData(-1, "volume of -1 L")]
    [InlineData(double.NaN, "volume of NaN L")]
    [InlineData(1e9, "up to 2000 L")]
    public void A_volume_that_cannot_be_gets_a_sentence(double volumeL, string words)
    {
        Assert.Null(TankMix.For(Copper, volumeL, UnitSystem.Metric, out var problem));
        Assert.Contains(words, problem!.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_product_without_a_dose_or_with_contradictions_is_not_mixed()
    {
        Assert.Null(TankMix.For(SprayTemplates.All.Single(one => one.Id == "dormant-oil"), 5, UnitSystem.Metric, out var noDose));
        Assert.Contains("has no dose", noDose!.Text, StringComparison.Ordinal);
        Assert.Null(TankMix.For(Copper with { ContentPct = 20 }, 5, UnitSystem.Metric, out var wrong));
        Assert.Contains("read both figures", wrong!.Text, StringComparison.Ordinal);
    }
}
