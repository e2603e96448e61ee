using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Spraying;
using UnitsNet;
using UnitSystem = BackyardSentinel.Units.UnitSystem;

namespace BackyardSentinel.Tests.Configuration;

public class ProductTests
{
    [Fact]
    public void Every_key_of_a_product_lands_where_it_belongs()
    {
        var (garden, _) = GardenFileReader.Read(GardenFixtures.Scenario("good", "every-key.yaml"));
        var first = garden!.Products[0];
        Assert.Equal([TreeKind.Almond, TreeKind.Nectarine], first.Label.ExcludedKinds);
        var template = SprayTemplates.All.Single(one => one.Id == "fixed-copper");
        Assert.Equal(
            template with
            {
                Id = "blue-powder",
                Name = "The blue powder",
                Active = ActiveIngredient.CopperHydroxide,
                ContentPct = 77,
                CopperPct = 50,
                DosePerL = first.DosePerL,
                WashOff = first.WashOff,
                Label = new LabelLimit
                {
                    MaxApplicationsPerSeason = 3,
                    MaxCopperKgPerHaPerSeason = first.Label.MaxCopperKgPerHaPerSeason,
                    MinDaysBetween = 14,
                    FirstStage = 0,
                    LastStage = 1,
                    MinTemperatureC = (40 - 32) * 5 / 9.0,
                    MaxTemperatureC = 25,
                    DryBeforeH = 12,
                    DryAfterH = 24,
                    FrostFreeBeforeH = 48,
                    FrostFreeAfterH = 36,
                    MinWindMs = 3 * 0.44704,
                    MaxWindMs = first.Label.MaxWindMs,
                    ExcludedKinds = first.Label.ExcludedKinds,
                    ReEntryH = 48,
                    PreHarvestDays = 21,
                },
            },
            first);
        Assert.Equal(13 / 3.6, first.Label.MaxWindMs!.Value, 1e-12);
        var (second, third) = (garden.Products[1], garden.Products[2]);
        Assert.Equal((1.8, 1.0185, ProductUnit.Millilitre), (second.CopperPct, Math.Round(second.DensityKgPerL!.Value, 4), second.Unit));
        Assert.Equal((null, 28), (second.Label.DaysFromOil, third.Label.DaysFromOil));
        Assert.Contains(new WashOff(25.4, 40.5), garden.Sites[0].Products.Select(product => product.WashOff));
        Assert.Equal(garden.Products, garden.Sites[0].Products);
    }

    // The second opinion on the units is the library UnitsNet.
    public static TheoryData<string, double, bool> Doses => new()
    {
        { "7.5 g/L", 7.5, false },
        { "10 mL/L", 10, true },
        { "1 oz/gal", Mass.FromOunces(1).Grams / Volume.FromUsGallons(1).Liters, false },
        { "2 fl oz/gal", Volume.FromUsOunces(2).Milliliters / Volume.FromUsGallons(1).Liters, true },
        { "4 tbsp/gal", Volume.FromUsTablespoons(4).Milliliters / Volume.FromUsGallons(1).Liters, true },
        { "10 lb/100 gal", Mass.FromPounds(10).Grams / Volume.FromUsGallons(100).Liters, false },
    };

    [Theory]
    [MemberData(nameof(Doses))]
    public void A_dose_is_grams_or_millilitres_in_a_litre(string text, double perLitre, bool byVolume)
    {
        var product = Read($"active: other, dose: {text}").Product!;
        Assert.Equal(
            (perLitre, byVolume),
            (product.DosePerL!.Value, product.Unit == ProductUnit.Millilitre),
            (a, b) => Math.Abs(a.Item1 / b.Item1 - 1) < 1e-8 && a.Item2 == b.Item2);
    }

    [Fact]
    public void Copper_in_a_season_is_kilograms_on_a_hectare()
    {
        Assert.Equal(4, Read("active: copper, max_copper: 4 kg/ha").Product!.Label.MaxCopperKgPerHaPerSeason!.Value, 1e-12);
        // UnitsNet again.
        Assert.Equal(
            Mass.FromPounds(3.6).Kilograms / Area.FromAcres(1).Hectares,
            Read("active: copper, max_copper: 3.6 lb/acre").Product!.Label.MaxCopperKgPerHaPerSeason!.Value,
            1e-7);
    }

    // The first two pairs stand on registered labels (brands withheld), the octanoate pair is from memory.
    [Theory]
    [InlineData("copper-hydroxide", 77.0, 50.0)]
    [InlineData("copper-diammine-acetate", 27.15, 8.0)]
    [InlineData("copper-octanoate", 10.0, 1.8)]
    public void The_two_figures_of_a_real_label_do_not_contradict_each_other(string active, double content, double copper)
    {
        static string Keys(string a, double c, double m) =>
            string.Create(CultureInfo.InvariantCulture, $"active: {a}, content: {c}, copper: {m}");
        Assert.NotNull(Read(Keys(active, content, copper)).Product);
        Assert.Null(Read(Keys(active, content, copper * 1.08)).Product);
        Assert.Null(Read(Keys(active, content, copper * 0.92)).Product);
    }

    // Copper atoms, and the molar masses of chemical handbooks in g/mol (from memory); copper itself is 63.546.
    [Theory]
    [InlineData("copper-hydroxide", 1, 97.561)]
    [InlineData("copper-oxychloride", 2, 213.57)]
    [InlineData("copper-sulfate", 1, 249.685)]
    [InlineData("cuprous-oxide", 2, 143.091)]
    [InlineData("copper-octanoate", 1, 349.96)]
    [InlineData("tribasic-copper-sulfate", 4, 452.29)]
    [InlineData("copper-diammine-acetate", 1, 215.69)]
    public void The_copper_in_a_compound_is_that_of_the_handbooks(string active, int atoms, double molarMass)
    {
        var message = Read($"active: {active}, content: 100, copper: 1").Problems.Single(p => !p.IsNote).Message.Text;
        var percent = double.Parse(
            message[(message.IndexOf("holds", StringComparison.Ordinal) + 6)..message.IndexOf(" % metallic", StringComparison.Ordinal)],
            CultureInfo.InvariantCulture);
        Assert.Equal(100 * atoms * 63.546 / molarMass, percent, 0.02);
    }

    [Theory]
    [InlineData("active: sulfur", "apricot", "sulfur injures apricot")]
    [InlineData("template: lime-sulfur", "apricot", "sulfur injures apricot")]
    [InlineData("template: dormant-oil", "peach", "the figures of dormant-oil are only a start")]
    [InlineData("active: copper, dose: 5 g/L", "peach", "product 'x' has neither 'content' nor 'copper'")]
    [InlineData("active: copper, copper: 50", "peach", "product 'x' has no 'dose'")]
    [InlineData("active: copper, copper: 8, dose: 5 mL/L", "peach", "the dose of 'x' is a volume")]
    [InlineData("template: fixed-copper, dose: 1.5 tbsp/gal", "peach", "the dose of 'x' is a volume")]
    public void What_the_grower_should_know_of_a_product_is_noted(string keys, string kind, string note)
    {
        var (product, problems) = Read(keys, kind);
        Assert.NotNull(product);
        Assert.Contains(problems, p => p.IsNote && p.Message.Text.StartsWith(note, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("active: sulfur, not_on: [apricot]", "apricot")]
    [InlineData("active: sulfur", "peach")]
    [InlineData("active: copper-oxychloride, content: 84, dose: 7.5 g/L", "apricot")]
    [InlineData("active: copper, copper: 50, dose: 1.5 tbsp/gal, density: 0.4 oz/tbsp", "peach")]
    public void No_note_is_made_where_there_is_nothing_to_know(string keys, string kind) =>
        Assert.DoesNotContain(Read(keys, kind).Problems, p => p.Line <= 2);

    // A dormant-season label, common practice, no source: from the fall of the leaves to the swell of the buds.
    [Theory]
    [InlineData("first_stage: 93, last_stage: 1", true)]
    [InlineData("first_stage: 97, last_stage: 51", true)]
    [InlineData("first_stage: 9, last_stage: 1", false)]
    [InlineData("first_stage: 1, last_stage: 93", false)]
    [InlineData("recheck_rain: 60", false)]
    [InlineData("recheck_rain: 40, spent_rain: 40", true)]
    public void The_spray_year_begins_at_leaf_fall_and_cover_is_looked_at_before_it_is_gone(string stages, bool good) =>
        Assert.Equal(good, Read($"template: fixed-copper, {stages}").Product is not null);

    // By hand: a tablespoon of 0.4 oz is 11.34 g in 14.787 mL; 1.5 of them in a gallon are 17.01 g in 3.785 L, half of it copper.
    [Fact]
    public void A_powder_in_tablespoons_is_counted_through_the_weight_of_a_tablespoon()
    {
        var product = Read("template: fixed-copper, dose: 1 1/2 tbsp/gal, density: 0.4 oz/tbsp").Product!;
        Assert.Equal(0.5 * 17.0097 / 3.785412, product.DosePerL!.Value * product.CopperGPerUnit!.Value, 1e-4);
        Assert.Equal("3 tbsp (1.2 oz)", TankMix.For(product, 2 * 3.785411784, UnitSystem.Us, out _)!.Product);
        Assert.Null(TankMix.For(product with { DensityKgPerL = null }, 5, UnitSystem.Us, out var missing));
        Assert.Contains("0.4 oz/tbsp", missing!.Text, StringComparison.Ordinal);
    }

    private static (SprayProduct? Product, IReadOnlyList<Problem> Problems) Read(string keys, string kind = "peach")
    {
        var text =
            $"products:\n  - {{id: x, {keys}}}\n"
            + File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml"))
            + $"    plantings:\n      - {{id: a, kind: {kind}}}\n";
        var (garden, problems) = GardenFileReader.ReadText("g.yaml", text);
        return (garden?.Products.Single(), problems);
    }
}
