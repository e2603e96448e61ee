using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Garden;

/// <summary>A spray product with its label's figures, as the grower entered them.</summary>
public sealed record SprayProduct
{
    /// <summary>Short id used in the garden file and the journal.</summary>
    public required string Id { get; init; }

    /// <summary>Name for people; the garden file's own.</summary>
    public required string Name { get; init; }

    /// <summary>What works in it.</summary>
    public required ActiveIngredient Active { get; init; }

    /// <summary>Content of the active compound, % by mass; <c>null</c>: not given.</summary>
    public double? ContentPct { get; init; }

    /// <summary>Metallic copper, % by mass; <c>null</c>: not given.</summary>
    public double? CopperPct { get; init; }

    /// <summary>Weighed or measured by volume.</summary>
    public ProductUnit Unit { get; init; }

    /// <summary>It is known to be a powder, whether it is weighed or measured with a spoon.</summary>
    public bool IsPowder { get; init; }

    /// <summary>Mass of a volume of it, kg/L (= g/mL), of a heaped powder too; <c>null</c>: not given.</summary>
    public double? DensityKgPerL { get; init; }

    /// <summary>The label's dose, g or mL of product in a litre of mixture; <c>null</c>: not given.</summary>
    public double? DosePerL { get; init; }

    /// <summary>How much rain takes its cover off.</summary>
    public WashOff WashOff { get; init; } = new();

    /// <summary>The label's limits.</summary>
    public LabelLimit Label { get; init; } = new();

    /// <summary>Generic figures to start from: check them against your label.</summary>
    public bool IsTemplate { get; init; }

    /// <summary>
    /// Metallic copper in the product, 0–1 by mass: what the label states, else computed from the compound's content.
    /// 0 for a product without copper, <c>null</c> for a copper of unknown content.
    /// </summary>
    public double? CopperFraction =>
        !Active.IsCopper() ? 0 : (CopperPct / 100) ?? (ContentPct / 100 * Active.CopperFraction());

    /// <summary>
    /// Metallic copper in a gram or millilitre of product, g; <c>null</c>: its content, or the density of what is measured by volume,
    /// is not known.
    /// </summary>
    public double? CopperGPerUnit =>
        !Active.IsCopper() ? 0 : Unit == ProductUnit.Gram ? CopperFraction : CopperFraction * DensityKgPerL;

    /// <summary>Metallic copper in so much mixture of the label's dose, g; <c>null</c>: it is not known.</summary>
    /// <param name="litres">Mixture, L.</param>
    public double? CopperG(double litres) => CopperGPerUnit * DosePerL * litres;

    /// <summary>Everything in the figures that cannot be right or leaves the copper unknown, one sentence each.</summary>
    /// <param name="units">The grower's units; metric unless given.</param>
    public IReadOnlyList<Sentence> Check(UnitSystem? units = null) =>
        [.. Problems(units ?? UnitSystem.Metric).Select(problem => (Sentence)$"Product {new Name(Id)}: {problem}")];

    private IEnumerable<Sentence> Problems(UnitSystem units)
    {
        if (ContentPct is { } content && content is not (> 0 and <= 100))
            yield return $"The content is {content} %; it must lie above 0 and up to 100 %.";
        if (CopperPct is { } copper && copper is not (> 0 and <= 100))
            yield return $"The metallic copper is {copper} %; it must lie above 0 and up to 100 %.";
        if (CopperPct is not null && !Active.IsCopper())
            yield return $"It states metallic copper, but {new Name(Active.Word())} has none; name the copper as its active ingredient.";
        if (
            CopperPct is { } stated
            && ContentPct / 100 * Active.CopperFraction() * 100 is { } computed
            && Math.Abs(stated - computed) > 0.05 * stated)
            yield return $"{ContentPct!.Value} % {new Name(Active.Word())} holds {computed:0.#} % metallic copper, not {stated} %; "
                + $"read both figures on the label again.";
        if (Active.IsCopper() && CopperFraction is null)
            yield return $"Its copper is not known; enter the metallic copper that the label states, in %.";
        if (DensityKgPerL is { } density && density is not (> 0.3 and < 5))
            yield return $"The density is {new Figure(units.Density(density))}; it must lie within {new Figure(units.Density(0.3))} "
                + $"and {new Figure(units.Density(5))}.";
        if (Active.IsCopper() && Unit == ProductUnit.Millilitre && DensityKgPerL is null)
            yield return IsPowder
                ? (Sentence)($"It is a powder measured by volume, and what a spoon of it weighs is not known, "
                    + $"so its copper cannot be counted; enter the label's weight as density, such as 0.4 oz/tbsp or 12 g/tbsp, or the "
                    + $"dose by weight.")
                : $"Its dose is a volume and its density is not known, so its copper cannot be counted; "
                    + $"enter the density from the label or its safety data sheet, such as 1.1 kg per litre or 9.2 lb/gal.";
        if (DosePerL is { } dose && dose is not (> 0 and <= 1000))
            yield return $"The dose is {dose} per litre; it must lie above 0 and up to 1000 g or mL.";
        foreach (var contradiction in Label.Contradictions(units))
            yield return contradiction;
    }
}
