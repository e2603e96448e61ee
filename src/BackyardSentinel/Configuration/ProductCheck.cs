using System.Globalization;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Configuration;

/// <summary>Looks for contradictions between the figures of one product.</summary>
internal static class ProductCheck
{
    // Labels round; 5 % is more than rounding explains (assumed).
    private const double LargestDisagreement = 0.05;

    private static readonly string[] CopperOnly = ["copper", "max_copper"];

    // What each template may stand for.
    private static readonly Dictionary<string, string[]> Templates = new(StringComparer.Ordinal)
    {
        ["fixed-copper"] = ["copper-hydroxide", "copper-oxychloride", "cuprous-oxide", "tribasic-copper-sulfate", "copper"],
        ["copper-soap"] = ["copper-octanoate"],
        ["bordeaux"] = ["bordeaux"],
        ["lime-sulfur"] = ["lime-sulfur"],
        ["dormant-oil"] = ["oil"],
    };

    public static void Check(SectionReader keys, GardenProduct product, bool apricots, ProblemList problems)
    {
        if (!keys.Has("active") && !keys.Has("template"))
            problems.Error(
                keys.Map,
                "this product has neither 'active' nor 'template', so nothing is known of what is in it",
                "'active' with the substance on the label, or a 'template' to start from");
        CheckTemplate(keys, product, problems);
        CheckCopper(keys, product, problems);
        // The spray year begins at leaf fall: a label from 93 to 01 is one for the dormant season.
        if (product is { FirstStage: { } first, LastStage: { } last } && SprayStage.Rank(first) > SprayStage.Rank(last))
            problems.Error(
                keys.Place("first_stage"),
                "'first_stage' comes after 'last_stage', so there would be no stage for this product",
                "a first stage not after the last one");
        NoteFlowerCode(keys, "first_stage", product.FirstStage, problems);
        NoteFlowerCode(keys, "last_stage", product.LastStage, problems);
        if (product.MinTemperatureC > product.MaxTemperatureC)
            problems.Error(
                keys.Place("min_temperature"),
                "'min_temperature' is above 'max_temperature', so no weather would be right",
                "a lowest temperature below the highest");
        if (product.WindMinMs > product.WindMaxMs)
            problems.Error(
                keys.Place("wind_min"),
                "'wind_min' is above 'wind_max', so no wind would be right",
                "a least wind below the most");
        if (product.SpentRainMm < product.RecheckRainMm)
            problems.Error(
                keys.Place(keys.Has("spent_rain") ? "spent_rain" : "recheck_rain"),
                "'spent_rain' is below 'recheck_rain', so the cover would be gone before it is looked at",
                "recheck_rain not above spent_rain");
        if (apricots && IsSulfur(product) && !product.NotOn.Contains("apricot"))
            problems.Note(
                keys.Place(
                    keys.Has("not_on") ? "not_on"
                    : keys.Has("active") ? "active"
                    : "template"),
                "sulfur injures apricot, and this garden has an apricot planting",
                "not_on: [apricot]");
    }

    /// <summary>A label by flower buds limits by the leaf buds that are followed; which code goes with which is assumed.</summary>
    private static void NoteFlowerCode(SectionReader keys, string key, int? code, ProblemList problems)
    {
        if (code is >= 50 and <= 69 && BudStage.TryFrom(code.Value, out var flower))
            problems.Note(
                keys.Place(key),
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{code} is a flower-bud code ({flower.Meaning}); leaf buds are taken to stand at {SprayStage.Rank(code.Value):00} then, and varieties part by some days"));
    }

    private static void CheckTemplate(SectionReader keys, GardenProduct product, ProblemList problems)
    {
        if (product.Template is not { } template)
            return;
        if (product.Active is { } active && !Templates[template].Contains(active))
            problems.Error(
                keys.Place("active"),
                $"the template {template} has figures for {string.Join(", ", Templates[template])}, and 'active' says {active}",
                "a template and an active that belong together, or one of the two keys alone");
        problems.Note(keys.Place("template"), $"the figures of {template} are only a start: check every figure against your label");
    }

    private static void CheckCopper(SectionReader keys, GardenProduct product, ProblemList problems)
    {
        var holdsCopper =
            product.Template is "fixed-copper" or "copper-soap" or "bordeaux"
            || product.Active is { } word && ProductFigures.Active(word).IsCopper();
        if (!holdsCopper)
        {
            // With the active misspelt or missing there is an error already, and this might be untrue.
            foreach (var name in CopperOnly.Where(n => keys.Has(n) && (product.Active ?? product.Template) is not (null or "other")))
                problems.Error(
                    keys.Place(name),
                    $"'{name}' has a meaning for copper products only, and this one is {product.Active ?? product.Template}",
                    $"no '{name}' here");
            return;
        }

        if (
            product is { ContentPct: { } content, CopperPct: { } copper, Active: { } active }
            && Share(active) is { } share
            && Math.Abs(content * share - copper) > LargestDisagreement * copper)
            problems.Error(
                keys.Place("copper"),
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"'content' and 'copper' disagree: {content} % of {active} holds {content * share:0.0#} % metallic copper, not {copper} %"),
                "both figures as the label gives them, or one of the two");
        // Limits of rain that contradict each other have their error already.
        CheckCounted(
            keys,
            product,
            ProductFigures.Of(product with { SpentRainMm = Math.Max(product.RecheckRainMm, product.SpentRainMm) }),
            problems);
    }

    /// <summary>Says what is missing where the copper of a spray cannot be worked out; a template's figures count as given.</summary>
    private static void CheckCounted(SectionReader keys, GardenProduct product, SprayProduct figures, ProblemList problems)
    {
        const string Unknown = "so the copper it leaves in the soil cannot be worked out";
        if (figures.CopperFraction is null)
            problems.Note(keys.Map, $"product '{product.Id}' has neither 'content' nor 'copper', {Unknown}");
        else if (figures.DosePerL is null && !keys.Has("dose"))
            problems.Note(keys.Map, $"product '{product.Id}' has no 'dose', {Unknown}");
        else if (figures is { Unit: ProductUnit.Millilitre, DensityKgPerL: null } && !keys.Has("density"))
            problems.Note(
                keys.Place(keys.Has("dose") ? "dose" : "template"),
                $"the dose of '{product.Id}' is a volume, and what a volume of it weighs is not known, {Unknown}",
                figures.IsPowder
                    ? "'density' with the weight of a level tablespoon from the label, such as 0.4 oz/tbsp, or the dose by weight, such as 0.6 oz/gal"
                    : "'density' from the label or its safety data sheet, such as 1.1 or 9.2 lb/gal");
    }

    /// <summary>Metallic copper in what the content is of; a "copper" without compound is metallic itself.</summary>
    private static double? Share(string active) => active == "copper" ? 1 : ProductFigures.Active(active).CopperFraction();

    private static bool IsSulfur(GardenProduct product) =>
        product.Active is "sulfur" or "lime-sulfur" || product.Template == "lime-sulfur";
}
