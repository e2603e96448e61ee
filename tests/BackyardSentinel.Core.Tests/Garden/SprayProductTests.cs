using BackyardSentinel.Spraying;
using BackyardSentinel.Tests.Planning;

namespace BackyardSentinel.Tests.Garden;

public class SprayProductTests
{
    private static SprayProduct Copper => SprayGarden.Copper;

    [Fact]
    public void A_sound_product_has_nothing_to_say() => Assert.Empty(Copper.Check());

    [Fact]
    public void Two_copper_figures_that_differ_by_more_than_a_twentieth_are_told()
    {
        Assert.Empty((Copper with { ContentPct = 77, CopperPct = 48 }).Check());
        var problem = Assert.Single((Copper with { ContentPct = 77, CopperPct = 40 }).Check());

        Assert.Equal(
            "Product copper: 77 % copper-hydroxide holds 50.2 % metallic copper, not 40 %; read both figures on the label again.",
            problem.Text);
    }

    [Fact]
    public void Each_figure_that_cannot_be_is_told_once()
    {
        var label = new LabelLimit
        {
            FirstStage = 9,
            LastStage = 1,
            MinTemperatureC = 20,
            MaxTemperatureC = 10,
            MinWindMs = 4,
            MaxWindMs = 2,
            DryAfterH = -1,
            MaxApplicationsPerSeason = -2,
        };
        var problems = (Copper with { DosePerL = 0, CopperPct = 120, Label = label }).Check();

        Assert.Equal(7, problems.Count);
        foreach (
            var word in new[]
            {
                "120 %",
                "dose is 0",
                "first stage 09 comes after the last stage 01",
                "20 °C lies above",
                "4 m/s lies above",
                "-1",
                "-2",
            })
            Assert.Single(problems, problem => problem.Text.Contains(word, StringComparison.Ordinal));
    }

    [Fact]
    public void Numbers_that_are_none_are_told_too() => Assert.Equal(3, (
                Copper with
                {
                    DosePerL = double.NaN,
                    CopperPct = double.PositiveInfinity,
                    Label = new() { ReEntryH = double.NaN },
                }
            ).Check().Count);

    // The spray year begins at leaf fall: a label from leaf fall to bud swell is no contradiction.
    [Fact]
    public void Leaf_fall_comes_before_bud_swell() =>
        Assert.Empty((Copper with { Label = new() { FirstStage = 93, LastStage = 1 } }).Check());

    [Fact]
    public void A_liquid_copper_needs_a_density_and_a_copper_its_content()
    {
        Assert.Contains("density", Assert.Single((Copper with { Unit = ProductUnit.Millilitre }).Check()).Text, StringComparison.Ordinal);
        Assert.Contains("not known", Assert.Single((Copper with { CopperPct = null }).Check()).Text, StringComparison.Ordinal);
        Assert.Contains("has none", Assert.Single((Copper with { Active = ActiveIngredient.Oil }).Check()).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Templates_are_marked_and_sound()
    {
        Assert.All(SprayTemplates.All, template =>
        {
            Assert.True(template.IsTemplate);
            Assert.Empty(template.Check());
            Assert.Equal(template.Id is "fixed-copper" or "bordeaux", template.IsPowder);
        });
        Assert.Equal(3, SprayTemplates.All.Single(one => one.Id == "dormant-oil").Label.LastStage);
        Assert.Equal((7.5, 50), (SprayTemplates.All[0].DosePerL, SprayTemplates.All[0].CopperPct));
        Assert.Equal((10, 1.8, 1), (SprayTemplates.All[1].DosePerL, SprayTemplates.All[1].CopperPct, SprayTemplates.All[1].DensityKgPerL));
        Assert.Contains(TreeKind.Apricot, SprayTemplates.All.Single(one => one.Id == "lime-sulfur").Label.ExcludedKinds);
    }

    // Codes and meanings: BBCH scale of stone fruit, Meier and others 1994.
    [Theory]
    [InlineData(0, false, false, true)]
    [InlineData(50, false, false, true)]
    [InlineData(1, true, false, false)]
    [InlineData(51, true, false, false)]
    [InlineData(9, true, false, false)]
    [InlineData(55, true, false, false)]
    [InlineData(57, true, true, false)]
    [InlineData(10, true, true, false)]
    [InlineData(65, true, true, false)]
    [InlineData(81, true, true, false)]
    [InlineData(92, false, true, false)]
    [InlineData(93, false, false, true)]
    [InlineData(97, false, false, true)]
    public void Stages_mean_for_spraying_what_they_should(int code, bool swell, bool inLeaf, bool dormant) =>
        Assert.Equal((swell, inLeaf, dormant), (SprayStage.BudsSwell(code), SprayStage.InLeaf(code), SprayStage.IsDormant(code)));

    [Fact]
    public void What_contradicts_itself_is_told_in_the_growers_units()
    {
        var odd = Copper with
        {
            DensityKgPerL = 9,
            Label = new()
            {
                MinTemperatureC = 20,
                MaxTemperatureC = 10,
                MinWindMs = 4.4704,
                MaxWindMs = 0.44704,
            },
        };
        Assert.Equal(
            [
                "Product copper: The density is 75.1 lb/gal; it must lie within 2.5 lb/gal and 41.7 lb/gal.",
                "Product copper: The lowest temperature 68 °F lies above the highest 50 °F; swap them or correct one.",
                "Product copper: The lowest wind 10 mph lies above the highest 1 mph; swap them or correct one.",
            ],
            odd.Check(UnitSystem.Us).Select(one => one.Text));
        var ledger = new SprayLedger(
            [new SprayEntry(1, "yard", "peach", new DateOnly(2027, 2, 1), "copper", -3.785411784, null, null)],
            [Copper],
            new Dictionary<string, double>(),
            day => day.Year,
            units: UnitSystem.Us);
        Assert.Contains("has a volume of -1 gal", ledger.Findings[0].Text, StringComparison.Ordinal);
    }

    // 40 °F and 10 mph: the figures of the sources, each the same number when told in its own unit.
    [Fact]
    public void The_sources_limits_are_told_as_they_stand_in_them()
    {
        Assert.Equal("40 °F", UnitSystem.Us.Temperature(SprayLimits.MinTemperatureC));
        Assert.Equal("85 °F", UnitSystem.Us.Temperature(SprayLimits.MaxSulfurTemperatureC));
        Assert.Equal(
            ["3 mph", "8 mph", "10 mph"],
            new[] { SprayLimits.SteadyWindMs, SprayLimits.GentleWindMs, SprayLimits.MaxWindMs }.Select(wind => UnitSystem.Us.Wind(wind)));
        Assert.Equal("4.4 °C", UnitSystem.Metric.Temperature(SprayLimits.MinTemperatureC));
    }
}
