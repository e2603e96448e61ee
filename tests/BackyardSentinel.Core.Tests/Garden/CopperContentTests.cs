using BackyardSentinel.Tests.Planning;

namespace BackyardSentinel.Tests.Garden;

public class CopperContentTests
{
    // Molar masses as handbooks of chemistry print them, from memory, to the second decimal.
    [Theory]
    [InlineData(ActiveIngredient.CopperHydroxide, 97.56)]
    [InlineData(ActiveIngredient.CopperOxychloride, 213.56)]
    [InlineData(ActiveIngredient.CopperSulfate, 249.68)]
    [InlineData(ActiveIngredient.CuprousOxide, 143.09)]
    [InlineData(ActiveIngredient.CopperOctanoate, 349.96)]
    [InlineData(ActiveIngredient.TribasicCopperSulfate, 452.28)]
    [InlineData(ActiveIngredient.CopperDiammineAcetate, 215.70)]
    public void Molar_masses_are_those_of_the_handbooks(ActiveIngredient active, double molarMassG) =>
        Assert.Equal(molarMassG, active.Compound()!.Value.MolarMassG, 0.011);

    // Worked out by hand from the IUPAC atomic masses.
    [Theory]
    [InlineData(ActiveIngredient.CopperHydroxide, 0.6514)]
    [InlineData(ActiveIngredient.CopperOxychloride, 0.5951)]
    [InlineData(ActiveIngredient.CopperSulfate, 0.2545)]
    [InlineData(ActiveIngredient.CuprousOxide, 0.8882)]
    [InlineData(ActiveIngredient.CopperOctanoate, 0.1816)]
    [InlineData(ActiveIngredient.TribasicCopperSulfate, 0.5620)]
    [InlineData(ActiveIngredient.CopperDiammineAcetate, 0.2946)]
    public void The_share_of_copper_follows_from_the_atomic_masses(ActiveIngredient active, double fraction) =>
        Assert.Equal(fraction, active.CopperFraction()!.Value, 5e-5);

    // Regulation (EU) 2018/1981, annex I: least copper of the technical material, g/kg. No pure compound can hold less.
    [Theory]
    [InlineData(ActiveIngredient.CopperHydroxide, 573)]
    [InlineData(ActiveIngredient.CopperOxychloride, 550)]
    [InlineData(ActiveIngredient.CuprousOxide, 820)]
    [InlineData(ActiveIngredient.TribasicCopperSulfate, 490)]
    public void A_pure_compound_holds_at_least_what_the_regulation_asks_of_the_technical_one(ActiveIngredient active, double gPerKg) =>
        Assert.InRange(active.CopperFraction()!.Value * 1000, gPerKg, gPerKg * 1.2);

    // Two product labels that state both the compound and the metallic copper, makers withheld.
    [Theory]
    [InlineData(ActiveIngredient.CopperHydroxide, 77.0, 50, 0.5)]
    [InlineData(ActiveIngredient.CopperDiammineAcetate, 27.15, 8.0, 0.05)]
    [InlineData(ActiveIngredient.CopperOctanoate, 10, 1.8, 0.05)] // from memory
    public void The_metallic_copper_agrees_with_what_labels_state(
        ActiveIngredient active,
        double contentPct,
        double copperPct,
        double within)
    {
        var product = SprayGarden.Copper with { Active = active, ContentPct = contentPct, CopperPct = null };

        Assert.Equal(copperPct, product.CopperFraction!.Value * 100, within);
        Assert.Empty((product with { CopperPct = copperPct }).Check());
    }

    [Theory]
    [InlineData(ActiveIngredient.LimeSulfur)]
    [InlineData(ActiveIngredient.Oil)]
    public void What_is_no_copper_holds_none(ActiveIngredient active) =>
        Assert.Equal(0, (SprayGarden.Copper with { Active = active, CopperPct = null }).CopperGPerUnit);

    [Fact]
    public void Every_active_ingredient_has_a_word_of_its_own()
    {
        var words = Enum.GetValues<ActiveIngredient>().Select(active => active.Word()).ToList();

        Assert.Equal(words.Count, words.Distinct().Count());
        Assert.All(words, word => Assert.Matches("^[a-z-]+$", word));
    }
}
