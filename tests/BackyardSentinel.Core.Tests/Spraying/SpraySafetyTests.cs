using BackyardSentinel.Spraying;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Spraying;

// Which cautions go with what: labels and extension texts, from memory.
public class SpraySafetyTests
{
    /// <summary>A caution by a piece of it, and what it belongs to.</summary>
    private static readonly (string Piece, Func<ActiveIngredient, bool> Of)[] OfAMix =
    [
        ("DANGER: lime sulfur", active => active == ActiveIngredient.LimeSulfur),
        ("acids or acid fertiliser: poisonous gas", active => active == ActiveIngredient.LimeSulfur),
        ("Gloves, eye protection", active => active != ActiveIngredient.LimeSulfur),
        ("corrosive and stains", active => active == ActiveIngredient.Bordeaux),
        ("Never on apricot", active => active is ActiveIngredient.LimeSulfur or ActiveIngredient.Sulfur),
        (
            "Never together with oil",
            active => active
                is ActiveIngredient.LimeSulfur
                    or ActiveIngredient.Sulfur
                    or ActiveIngredient.Captan
                    or ActiveIngredient.Chlorothalonil),
        ("Oil does not stop leaf curl", active => active == ActiveIngredient.Oil),
        ("may cause cancer", active => active == ActiveIngredient.Chlorothalonil),
        ("Copper stays in the soil", IsCopper),
        ("neither acid water nor acid fertiliser", IsCopper),
    ];

    private static readonly (string Piece, Func<ActiveIngredient, bool> Of)[] OfAGarden =
    [
        ("Lime sulfur is corrosive and can blind", active => active == ActiveIngredient.LimeSulfur),
        ("No sulfur of any kind on apricot", active => active is ActiveIngredient.LimeSulfur or ActiveIngredient.Sulfur),
        ("Oil does not stop leaf curl", active => active == ActiveIngredient.Oil),
        ("may cause cancer", active => active == ActiveIngredient.Chlorothalonil),
        ("Copper stays in the soil", IsCopper),
        ("neither acid water nor acid fertiliser", IsCopper),
    ];

    public static TheoryData<ActiveIngredient> Actives => [.. Enum.GetValues<ActiveIngredient>()];

    [Theory]
    [MemberData(nameof(Actives))]
    public void Each_active_ingredient_has_its_own_cautions_and_no_others(ActiveIngredient active)
    {
        var product = Copper with { Active = active, CopperPct = null };
        var mix = SpraySafety.ForMix(product, UnitSystem.Metric).ToList();
        var garden = SpraySafety.For([Copper with { Active = ActiveIngredient.Other }, product]);

        Assert.All(OfAMix, one => Assert.Equal(
            one.Of(active), mix.Exists(line => line.Text.Contains(one.Piece, StringComparison.Ordinal))));
        Assert.All(OfAGarden, one => Assert.Equal(
            one.Of(active), garden.Any(line => line.Text.Contains(one.Piece, StringComparison.Ordinal))));
        foreach (IReadOnlyList<string> lines in new IReadOnlyList<Wording.Sentence>[] { mix, garden }
            .Select(all => all.Select(one => one.Text).ToList()))
        {
            Assert.StartsWith(SpraySafety.Label.Text, lines[0], StringComparison.Ordinal);
            foreach (var word in new[] { "bees fly", "ponds", "People and pets|people and pets", "from the ground" })
                Assert.Contains(lines, line => word.Split('|').Any(one => line.Contains(one, StringComparison.Ordinal)));
        }
    }

    [Fact]
    public void What_the_label_says_of_times_and_warmth_takes_the_place_of_the_general_word()
    {
        var bare = SpraySafety.ForMix(Copper, UnitSystem.Metric).ToList();
        Assert.Contains(bare, line => line.Text.Contains("the label's re-entry time has passed", StringComparison.Ordinal));
        Assert.Contains("Keep the label's days before harvest; eat no fruit before that.", bare.Select(one => one.Text));
        Assert.DoesNotContain(
            bare,
            line => line.Text.StartsWith("Not below", StringComparison.Ordinal)
                || line.Text.StartsWith("Not above", StringComparison.Ordinal));

        var label = new LabelLimit { ReEntryH = 48, PreHarvestDays = 21, MinTemperatureC = 5, MaxTemperatureC = 30 };
        var told = SpraySafety.ForMix(Copper with { Label = label }, UnitSystem.Metric).ToList();
        Assert.Contains(told, line => line.Text.Contains("the spray has dried and 48 h have passed", StringComparison.Ordinal));
        Assert.Contains("No fruit is picked for 21 days after the last spray; eat none before that.", told.Select(one => one.Text));
        Assert.Equal(["Not below 5 °C.", "Not above 30 °C."], told.TakeLast(2).Select(one => one.Text));
    }

    [Fact]
    public void After_a_spray_the_labels_times_are_told_as_moments()
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana");
        var ended = new DateTimeOffset(2027, 1, 20, 15, 30, 0, TimeSpan.FromHours(1));

        Assert.Equal(
            "Keep people and pets away until the label's time has passed, and keep the days before harvest. The label is the law.",
            SpraySafety.After(Copper, ended, zone).Text);
        Assert.Equal(
            "Keep people and pets away until Fri 22 Jan 15:30 (label: 48 h), and pick no fruit before 10 Feb 2027 (label: 21 days). "
                + "The label is the law.",
            SpraySafety.After(Copper with { Label = new() { ReEntryH = 48, PreHarvestDays = 21 } }, ended, zone).Text);
        // The clocks go forward on 28 March: 48 hours are 48 hours.
        ended = new DateTimeOffset(2027, 3, 27, 14, 30, 0, TimeSpan.FromHours(1));
        Assert.StartsWith(
            "Keep people and pets away until Mon 29 Mar 15:30 (label: 48 h)",
            SpraySafety.After(Copper with { Label = new() { ReEntryH = 48 } }, ended, zone).Text,
            StringComparison.Ordinal);
    }

    [Fact]
    public void Only_the_home_made_bordeaux_is_stirred_from_bluestone_and_lime()
    {
        var template = SprayTemplates.All.Single(one => one.Id == "bordeaux");

        Assert.StartsWith("Dissolve ", Steps(template)[0], StringComparison.Ordinal);
        Assert.StartsWith("Fill in half", Steps(template with { IsTemplate = false })[0], StringComparison.Ordinal);
        Assert.All(
            SprayTemplates.All.Where(one => one.Id != "bordeaux" && one.DosePerL is not null),
            one => Assert.StartsWith("Fill in half", Steps(one)[0], StringComparison.Ordinal));

        static IReadOnlyList<string> Steps(SprayProduct product) =>
            [.. (TankMix.For(product, 5, UnitSystem.Metric, out var problem) ?? throw new InvalidOperationException(problem!.Text)).Steps
                .Select(one => one.Text)];
    }

    [Theory]
    [InlineData(2000, true)]
    [InlineData(2000.1, false)]
    public void Up_to_two_thousand_litres_are_mixed(double volumeL, bool mixed) =>
        Assert.Equal(mixed, TankMix.For(Copper, volumeL, UnitSystem.Metric, out _) is not null);

    private static bool IsCopper(ActiveIngredient active) =>
        active
            is ActiveIngredient.Copper
                or ActiveIngredient.CopperHydroxide
                or ActiveIngredient.CopperOxychloride
                or ActiveIngredient.CopperSulfate
                or ActiveIngredient.CuprousOxide
                or ActiveIngredient.CopperOctanoate
                or ActiveIngredient.TribasicCopperSulfate
                or ActiveIngredient.CopperDiammineAcetate
                or ActiveIngredient.Bordeaux;
}
