using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Garden;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Looks for contradictions between the figures of one product.</summary>
internal static class ProductCheck
{
    // Labels round; 5 % is more than rounding explains (assumed).
    private const double LargestDisagreement = 0.05;

    private static readonly string[] CopperOnly = ["copper", "max_copper"];

    // What each template may stand for.
    private static readonly Dictionary<string, ActiveIngredient[]> Templates = new(StringComparer.Ordinal)
    {
        ["fixed-copper"] =
        [
            ActiveIngredient.CopperHydroxide,
            ActiveIngredient.CopperOxychloride,
            ActiveIngredient.CuprousOxide,
            ActiveIngredient.TribasicCopperSulfate,
            ActiveIngredient.Copper,
        ],
        ["copper-soap"] = [ActiveIngredient.CopperOctanoate],
        ["bordeaux"] = [ActiveIngredient.Bordeaux],
        ["lime-sulfur"] = [ActiveIngredient.LimeSulfur],
        ["dormant-oil"] = [ActiveIngredient.Oil],
    };

    /// <summary>Says what contradicts itself among the figures given, and what the grower should know of the product.</summary>
    /// <param name="keys">The product's part of the file.</param>
    /// <param name="product">The product, a template's figures among its own.</param>
    /// <param name="template">The template; <c>null</c>: there is none.</param>
    /// <param name="active">The active ingredient given; <c>null</c>: none is.</param>
    /// <param name="hasApricots">The garden has an apricot planting.</param>
    public static void Check(SectionReader keys, SprayProduct product, SprayProduct? template, ActiveIngredient? active, bool hasApricots)
    {
        var (problems, label) = (keys.Problems, product.Label);
        bool Given(string one, string other) => keys.Has(one) && keys.Has(other);
        if (!keys.Has("active") && !keys.Has("template"))
            problems.Error(
                keys.Map,
                $"this product has neither 'active' nor 'template', so nothing is known of what is in it",
                $"'active' with the substance on the label, or a 'template' to start from");
        if (template is not null)
            CheckTemplate(keys, template.Id, active);
        CheckCopper(keys, product, template, active);
        // The spray year begins at leaf fall: a label from 93 to 01 is one for the dormant season.
        if (
            Given("first_stage", "last_stage")
            && label is { FirstStage: { } first, LastStage: { } last }
            && SprayStage.Rank(first) > SprayStage.Rank(last))
            problems.Error(
                keys.Place("first_stage"),
                $"'first_stage' comes after 'last_stage', so there would be no stage for this product",
                $"a first stage not after the last one");
        NoteFlowerCode(keys, "first_stage", label.FirstStage);
        NoteFlowerCode(keys, "last_stage", label.LastStage);
        if (Given("min_temperature", "max_temperature") && label.MinTemperatureC > label.MaxTemperatureC)
            problems.Error(
                keys.Place("min_temperature"),
                $"'min_temperature' is above 'max_temperature', so no weather would be right",
                $"a lowest temperature below the highest");
        if (Given("wind_min", "wind_max") && label.MinWindMs > label.MaxWindMs)
            problems.Error(
                keys.Place("wind_min"),
                $"'wind_min' is above 'wind_max', so no wind would be right",
                $"a least wind below the most");
        if (
            hasApricots
            && (product.Active.IsSulfur() || template?.Active.IsSulfur() == true)
            && !(keys.Has("not_on") && label.ExcludedKinds.Contains(TreeKind.Apricot)))
            problems.Note(
                keys.Place(
                    keys.Has("not_on") ? "not_on"
                    : keys.Has("active") ? "active"
                    : "template"),
                $"sulfur injures apricot, and this garden has an apricot planting",
                $"not_on: [apricot]");
    }

    /// <summary>A label by flower buds limits by the leaf buds that are followed; which code goes with which is assumed.</summary>
    private static void NoteFlowerCode(SectionReader keys, string key, int? code)
    {
        if (code is >= 50 and <= 69 && BudStage.TryFrom(code.Value, out var flower))
            keys.Problems.Note(
                keys.Place(key),
                $"{(int)code} is a flower-bud code ({new English(flower.Meaning)}); leaf buds are taken to stand at "
                    + $"{SprayStage.Rank(code.Value):00} then, and varieties part by some days");
    }

    private static void CheckTemplate(SectionReader keys, string template, ActiveIngredient? active)
    {
        if (active is { } given && !Templates[template].Contains(given))
            keys.Problems.Error(
                keys.Place("active"),
                $"the template {new Name(template)} has figures for {Sentence.Names(Templates[template].Select(one => one.Word()))}, "
                    + $"and 'active' says {new Name(given.Word())}",
                $"a template and an active that belong together, or one of the two keys alone");
        keys.Problems.Note(keys.Place("template"), $"the figures of {new Name(template)} are only a start: check every figure against "
            + $"your label");
    }

    private static void CheckCopper(SectionReader keys, SprayProduct product, SprayProduct? template, ActiveIngredient? active)
    {
        if (template?.Active.IsCopper() != true && active?.IsCopper() != true)
        {
            // With the active misspelt or missing there is an error already, and this might be untrue.
            var known = active is ActiveIngredient.Other ? null : active?.Word() ?? template?.Id;
            foreach (var name in CopperOnly.Where(name => keys.Has(name) && known is not null))
                keys.Problems.Error(
                    keys.Place(name),
                    $"'{new Name(name)}' has a meaning for copper products only, and this one is {new Name(known!)}",
                    $"no '{new Name(name)}' here");
            return;
        }

        if (
            keys.Has("content")
            && keys.Has("copper")
            && product is { ContentPct: { } content, CopperPct: { } copper }
            && active is { } given
            && Share(given) is { } share
            && Math.Abs(content * share - copper) > LargestDisagreement * copper)
            keys.Problems.Error(
                keys.Place("copper"),
                $"'content' and 'copper' disagree: {content} % of {new Name(given.Word())} holds {content * share:0.0#} % "
                    + $"metallic copper, not {copper} %",
                $"both figures as the label gives them, or one of the two");
        CheckCounted(keys, product);
    }

    /// <summary>Says what is missing where the copper of a spray cannot be worked out; a template's figures count as given.</summary>
    private static void CheckCounted(SectionReader keys, SprayProduct product)
    {
        var quoted = new Name($"'{product.Id}'");
        if (product.CopperFraction is null)
            keys.Problems.Note(keys.Map, $"product {quoted} has neither 'content' nor 'copper', so the copper it leaves in the soil "
                + $"cannot be worked out");
        else if (product.DosePerL is null && !keys.Has("dose"))
            keys.Problems.Note(keys.Map, $"product {quoted} has no 'dose', so the copper it leaves in the soil cannot be worked out");
        else if (product is { Unit: ProductUnit.Millilitre, DensityKgPerL: null } && !keys.Has("density"))
            keys.Problems.Note(
                keys.Place(keys.Has("dose") ? "dose" : "template"),
                $"the dose of {quoted} is a volume, and what a volume of it weighs is not known, so the copper it leaves in the soil "
                    + $"cannot be worked out",
                product.IsPowder
                    ? (Sentence)($"'density' with the weight of a level tablespoon from the label, such as 0.4 oz/tbsp, "
                        + $"or the dose by weight, such as 0.6 oz/gal")
                    : $"'density' from the label or its safety data sheet, such as 1.1 or 9.2 lb/gal");
    }

    /// <summary>Metallic copper in what the content is of; a "copper" without compound is metallic itself.</summary>
    private static double? Share(ActiveIngredient active) => active == ActiveIngredient.Copper ? 1 : active.CopperFraction();
}
