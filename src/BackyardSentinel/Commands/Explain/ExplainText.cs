using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Explain;

/// <summary>Writes an explanation for reading, one planting to a screen.</summary>
internal static class ExplainText
{
    private const int Margin = 11;

    /// <summary>Writes the plantings of a site.</summary>
    public static void Write(ExplainScene scene, IReadOnlyList<PlantingWatch> plantings, TextWriter output)
    {
        output.Write($"{ExplainAnswer.Of(scene, plantings)}\n\n");
        foreach (var planting in plantings)
        {
            output.Write(
                $"{(planting.Planting.Name is { } name ? $"{name}, {scene.Site.Id}" : $"{scene.Site.Id}/{planting.Planting.Id}")} on "
                    + $"{scene.Local(scene.At)} ({scene.Site.Zone.Id})\n");
            Part(output, "Level", [ExplainLevel.Level(scene, planting)]);
            Part(output, "Window", ExplainLevel.Windows(scene, planting));
            Part(output, "Shelter", ExplainShelter.Lines(scene, planting));
            Part(output, "Stage", ExplainStage.Lines(scene, planting));
            Part(output, "Tissue", [ExplainStage.Tissue(scene, planting)]);
            if (ExplainStage.Swell(scene, planting) is { } swell)
                Part(output, "Bud swell", [Swell(swell)]);
            Part(output, "Rules", planting.Rules.SelectMany(rule => Rule(scene, planting, rule)));
            Part(output, "Cover", [ExplainLevel.Cover(scene, planting)]);
            if (ExplainLevel.Fruit(scene, planting) is { } fruit)
                Part(output, "Fruit", [fruit]);
            Part(output, "Curl", ExplainLevel.Incubations(scene, planting));
            Part(output, "Change", ExplainChange.Lines(scene, planting));
            Part(output, "Missing", ExplainSensors.Missing(scene, planting));
            output.Write("\n");
        }

        // What the plantings of a site share stands once.
        output.Write($"{scene.Site.Id}\n");
        Part(output, "Wet spell", [ExplainLevel.Spell(scene)]);
        Part(output, "Readings", ExplainSensors.Readings(scene).Select(one => ExplainSensors.Line(scene, one.Quantity, one.Last)));
        Part(output, "Missing", ExplainSensors.Missing(scene));
        output.Write("\n");
    }

    private static IEnumerable<string> Rule(ExplainScene scene, PlantingWatch planting, InfectionRule rule)
    {
        yield return $"{rule.Name}{(RuleNames.Of(rule.Name) is null ? $", a variant of {rule.Kind.Word()}" : "")}"
            + $"{(rule.Name == scene.Site.LevelRule ? ", which drives the level" : "")}: "
            + $"{planting.Risk.Opinions[rule.Name].Word()}";
        foreach (var condition in rule.Explain(scene.SpellForRules(planting), scene.Units))
            yield return $"  {ExplainLevel.Condition(condition, scene.Units)}";
    }

    private static string Swell(Phenology.BudSwell swell) =>
        swell.Expected is { } on
            ? $"Expected on {ExplainWords.Day(on)}"
                + (swell.Early is { } early && swell.Late is { } late
                    ? $", between {ExplainWords.Day(early)} and {ExplainWords.Day(late)}"
                    : "")
                + $". {swell.Basis}"
            : swell.Basis.Text;

    private static void Part(TextWriter output, string name, IEnumerable<string> lines)
    {
        foreach (var line in lines)
        {
            output.Write($"{name.PadRight(Margin)}{line}\n");
            name = "";
        }
    }
}
