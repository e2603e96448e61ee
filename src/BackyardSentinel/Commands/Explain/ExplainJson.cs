using System.Text.Json;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Explain;

/// <summary>Writes an explanation as one JSON object: the same facts as the text, figures beside the sentences.</summary>
internal static class ExplainJson
{
    /// <summary>Writes the sites.</summary>
    public static void Write(
        IReadOnlyList<(ExplainScene Scene, IReadOnlyList<PlantingWatch> Plantings)> sites,
        DateTimeOffset at,
        TextWriter output)
    {
        var document = new ExplainDocument(at, [.. sites.Select(site => Site(site.Scene, site.Plantings))]);
        output.Write(JsonSerializer.Serialize(document, ContractJson.Printed.ExplainDocument) + "\n");
    }

    private static ExplainedSite Site(ExplainScene scene, IReadOnlyList<PlantingWatch> plantings) => new(
        scene.Site.Id,
        ExplainAnswer.Of(scene, plantings),
        Spell(scene.Watch.RunningSpell),
        [
            .. ExplainSensors.Readings(scene)
                .Select(one => new ExplainedReading(
                    one.Quantity,
                    one.Last?.Value,
                    one.Last?.Time,
                    one.Last is { } last ? (scene.At - last.Time).TotalMinutes : null)),
        ],
        [.. ExplainSensors.Missing(scene)],
        [.. plantings.Select(planting => Planting(scene, planting))]);

    private static ExplainedPlanting Planting(ExplainScene scene, PlantingWatch planting)
    {
        var risk = planting.Risk;
        return new ExplainedPlanting(
            planting.Planting.Id,
            risk.Level,
            (int)risk.Level,
            risk.Since,
            scene.Site.LevelRule,
            risk.FractionReached,
            risk.Uncertain,
            Stage(scene, planting),
            risk.Susceptibility,
            ExplainStage.Tissue(scene, planting),
            ExplainStage.Swell(scene, planting) is { } swell
                ? new BudSwellDays(swell.Expected, swell.Early, swell.Late, swell.Basis.Text)
                : null,
            planting.Shelter.OnSince(scene.Today) is { } since ? Shelter(scene, planting, since) : null,
            [.. planting.Rules.Select(rule => Rule(rule, risk.Opinions[rule.Name], scene.SpellForRules(planting)))],
            planting.Cover.Cover,
            planting.Cover.Last is null ? null : planting.Cover.RainMm,
            ExplainLevel.Fruit(scene, planting),
            [.. planting.Incubations.Select(Incubation)],
            [.. ExplainLevel.Windows(scene, planting)],
            [.. ExplainChange.Lines(scene, planting)],
            [.. ExplainSensors.Missing(scene, planting)]);
    }

    private static ExplainedStage Stage(ExplainScene scene, PlantingWatch planting)
    {
        var model = planting.Stage.Model;
        var swell = model?.DatesOf(BudStage.LeafBudSwell);
        return new ExplainedStage(
            planting.Stage.Code,
            model is null ? ExplainedStage.Fixed : planting.Stage.Source.Word(),
            planting.Stage.Buds,
            swell?.Early,
            swell?.Expected,
            swell?.Late,
            model?.ChillSum,
            model?.Needs.ChillNeed,
            model?.HeatSum,
            [.. ExplainStage.Lines(scene, planting)]);
    }

    private static ExplainedShelter Shelter(ExplainScene scene, PlantingWatch planting, DateOnly since) => new(
        since,
        planting.OpenSkyLevel,
        [.. planting.KeptOff.Select(window => window.OpenedAt)],
        Spell(planting.Risk.Spell),
        [.. ExplainShelter.Lines(scene, planting)]);

    private static ExplainedRule Rule(InfectionRule rule, Level level, WetSpell? spell) => new(
        rule.Name,
        RuleNames.Of(rule.Name) is null ? rule.Kind : null,
        level,
        [
            .. rule.Explain(spell, Units.UnitSystem.Metric)
                .Select(one => new ExplainedCondition(one.What, one.Value, one.Unit, one.Asked, one.IsMet, one.Lack)),
        ]);

    private static ExplainedIncubation Incubation(Incubation one) => new(
        one.OpenedAt,
        one.Possible,
        one.LikelyFrom,
        one.LikelyTo,
        one.Last,
        one.DegreeDays,
        one.MayNotDevelop);

    private static WetSpellFigures? Spell(WetSpell? running) => running is { } spell ? WetSpellFigures.Of(spell) : null;
}
