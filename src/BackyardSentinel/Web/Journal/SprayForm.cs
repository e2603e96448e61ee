using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Units;

namespace BackyardSentinel.Web.Journal;

/// <summary>What did you spray? Amounts are those of the last time, or of the garden file.</summary>
internal sealed class SprayForm : JournalForm
{
    private const string Product = "product", At = "at";

    /// <inheritdoc/>
    public override string Kind => SprayEntry.Word;

    /// <inheritdoc/>
    protected override bool IsForMany => true;

    /// <inheritdoc/>
    protected override string Main => Product;

    /// <inheritdoc/>
    public override string? Missing(JournalScene scene) =>
        base.Missing(scene) ?? (scene.Site.Products.Count == 0 ? scene.Say("spray.no-products") : null);

    /// <inheritdoc/>
    public override IReadOnlyList<string> Lead(JournalScene scene) =>
    [
        scene.Visit.Words.Say(SpraySafety.Label),
        LastOf(scene) is { } last
            ? scene.Say("spray.lead.last", ("day", scene.Visit.Words.Date(last.On)))
            : scene.Say("spray.lead.file"),
    ];

    /// <inheritdoc/>
    protected override IEnumerable<string> Due(JournalScene scene) => scene.State.SpraysDue;

    /// <inheritdoc/>
    protected override void Fill(JournalScene scene, FormValues values)
    {
        if ((LastOf(scene)?.Product ?? (scene.Site.Products is [var only] ? only.Id : null)) is { } product)
            values.Set(Product, product);
        foreach (var tree in scene.Site.Plantings)
            values.Set(
                VolumeOf(tree), Volume(scene, tree) is { } litres ? Plain(scene.Units.UnitOf(Dimension.Volume).FromReckoned(litres)) : "");
        foreach (var one in scene.Site.Products)
            values.Set(RateOf(one), Rate(scene, one) is { } dose ? Plain(DoseFigure(scene, one, dose)) : "");
    }

    /// <inheritdoc/>
    protected override TextQuestion OfTree(JournalScene scene, FormValues values, FormFaults faults, Planting tree) => new(
        VolumeOf(tree),
        scene.Say("spray.volume." + scene.Units.Word, ("name", tree.Called)),
        null,
        faults.Of(VolumeOf(tree)),
        values.One(VolumeOf(tree)),
        "decimal");

    /// <inheritdoc/>
    protected override IEnumerable<Question> AskWhat(JournalScene scene, FormValues values, FormFaults faults) =>
    [
        new ChoiceQuestion(
            Product,
            scene.Say("spray.product"),
            null,
            faults.Of(Product),
            IsMany: false,
            [
                .. scene.Site.Products.Select(product => new Choice(
                    product.Id,
                    product.Name,
                    Kinds(scene, product),
                    values.Has(Product, product.Id),
                    Field: new TextQuestion(
                        RateOf(product),
                        scene.Say("spray.rate", ("unit", JournalAmounts.DoseUnit(product, scene.Units))),
                        product.DosePerL is { } dose
                            ? scene.Say("spray.rate.file", ("dose", scene.Visit.Words.Figure(scene.Units.Dose(dose, product.Unit))))
                            : scene.Say("spray.rate.label"),
                        faults.Of(RateOf(product)),
                        values.One(RateOf(product)),
                        "decimal"))),
            ]),
        new TextQuestion(At, scene.Say("spray.at"), scene.Say("spray.at.hint"), faults.Of(At), values.One(At)),
    ];

    /// <inheritdoc/>
    protected override JournalEntry? ReadWhat(JournalScene scene, FormValues values, FormFaults faults, Planting tree, DateOnly on)
    {
        var litres = ReadVolume(scene, values, faults, tree);
        TimeOnly? at = null;
        if (values.One(At) is { Length: > 0 } clock)
        {
            at = JournalAmounts.Clock(clock, out var fault);
            if (fault is not null)
                faults.Add(At, fault);
        }

        if (scene.Site.Products.FirstOrDefault(one => values.Has(Product, one.Id)) is not { } product)
        {
            faults.Add(Product, scene.Say("spray.product.missing"));
            return null;
        }

        var dose = ReadRate(scene, values, faults, product);
        return litres is { } volume && dose is { } rate
            ? new SprayEntry(0, scene.Site.Id, tree.Id, on, product.Id, volume, rate == product.DosePerL ? null : rate, at)
            : null;
    }

    private static string VolumeOf(Planting tree) => "volume-" + tree.Id;

    private static string RateOf(SprayProduct product) => "rate-" + product.Id;

    private static double? ReadVolume(JournalScene scene, FormValues values, FormFaults faults, Planting tree)
    {
        var (text, name) = (values.One(VolumeOf(tree)), VolumeOf(tree));
        if (text.Length == 0)
        {
            faults.Add(
                name, scene.Say("spray.volume.missing", ("such", scene.Visit.Words.Figure(scene.Units.Volume(tree.SprayVolumeL ?? 7)))));
            return null;
        }

        // What is remembered is as exact as it was written, however it is shown.
        if (Volume(scene, tree) is { } known && text == Plain(scene.Units.UnitOf(Dimension.Volume).FromReckoned(known)))
            return known;
        var litres = JournalAmounts.Volume(Pointed(text), scene.Units, out var fault, bare: true);
        if (fault is not null)
            faults.Add(name, fault);
        return litres;
    }

    private static double? ReadRate(JournalScene scene, FormValues values, FormFaults faults, SprayProduct product)
    {
        var (text, name) = (values.One(RateOf(product)), RateOf(product));
        if (text.Length == 0)
        {
            faults.Add(
                name,
                scene.Say(
                    "spray.rate.missing",
                    (
                        "such",
                        $"{Plain(DoseFigure(scene, product, product.DosePerL ?? 5))} {JournalAmounts.DoseUnit(product, scene.Units)}")));
            return null;
        }

        if (Rate(scene, product) is { } known && text == Plain(DoseFigure(scene, product, known)))
            return known;
        var dose = JournalAmounts.Dose(Pointed(text), product, scene.Units, out var fault, bare: true);
        if (fault is not null)
            faults.Add(name, fault);
        return dose;
    }

    private static IEnumerable<SprayEntry> Sprays(JournalScene scene) =>
        scene.Standing.OfType<SprayEntry>()
            .Where(one => one.Site == scene.Site.Id)
            .OrderByDescending(one => one.On)
            .ThenByDescending(one => one.Number);

    private static SprayEntry? LastOf(JournalScene scene) =>
        Sprays(scene).FirstOrDefault(one => scene.Site.Products.Any(product => product.Id == one.Product));

    private static double? Volume(JournalScene scene, Planting tree) =>
        Sprays(scene).FirstOrDefault(one => one.Planting == tree.Id)?.VolumeL ?? tree.SprayVolumeL;

    private static double? Rate(JournalScene scene, SprayProduct product) =>
        Sprays(scene).FirstOrDefault(one => one.Product == product.Id)?.DosePerL ?? product.DosePerL;

    /// <summary>A dose in the unit in which it is asked for.</summary>
    private static double DoseFigure(JournalScene scene, SprayProduct product, double perLitre) =>
        scene.Units != UnitSystem.Us ? perLitre
        : product.Unit == ProductUnit.Gram ? Unit.Ounce.FromReckoned(perLitre * Unit.Gallon.Factor)
        : Unit.FluidOunce.FromReckoned(perLitre * Unit.Millilitre.Factor * Unit.Gallon.Factor);

    private static string Plain(double value) => Math.Round(value, 3).ToString("0.###", CultureInfo.InvariantCulture);

    /// <summary>Phones of many lands have a comma where others have a point: 7,5. Three figures behind it could be thousands.</summary>
    private static string Pointed(string text)
    {
        var at = text.IndexOf(',', StringComparison.Ordinal);
        if (at < 1 || at != text.LastIndexOf(','))
            return text;
        var figures = text.Skip(at + 1).TakeWhile(char.IsAsciiDigit).Count();
        return figures is 1 or 2 && char.IsAsciiDigit(text[at - 1]) ? text.Replace(',', '.') : text;
    }

    private static string Kinds(JournalScene scene, SprayProduct product) => product.CopperFraction is > 0 and var copper
        ? scene.Say("spray.kind.copper", ("active", Active(scene, product)), ("percent", scene.Visit.Words.Number(copper * 100)))
        : Active(scene, product);

    private static string Active(JournalScene scene, SprayProduct product) => scene.Visit.Words.Say("active." + product.Active.Word());
}
