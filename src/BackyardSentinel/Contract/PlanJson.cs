using System.Text.Json;
using BackyardSentinel.Garden;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Contract;

/// <summary>A plan as one JSON object; docs/plan.md describes it.</summary>
public static class PlanJson
{
    /// <summary>The object and a line end.</summary>
    public static string Write(PlanResult result) => JsonSerializer.Serialize(Document(result), ContractJson.Printed.PlanDocument) + "\n";

    private static PlanDocument Document(PlanResult result)
    {
        var plan = result.Plan;
        return new PlanDocument(
            plan.AsOf,
            PlanAnswer.Of(result.Request, plan).Text,
            Texts(SpraySafety.For(result.Request.Products)),
            plan.Forecast is { } used
                ? new PlanForecastSource(used.Source, used.Issued, used.Until, used.Attribution, used.Licence)
                : null,
            [.. plan.Plantings.Select(one => Planting(one, result.Request.Plantings.First(facts => facts.Id == one.Planting)))],
            [.. plan.Slots.Select(slot => new PlannedSlot(slot.Planting, slot.Product, slot.Start, slot.End, slot.Rank, slot.Reasons))],
            [
                .. plan.Refused.Concat(result.Hours)
                    .Select(one => new PlannedRefusal(one.Planting, one.Product, one.From, one.To, one.Reason.Text)),
            ],
            result.Site.Id,
            result.Mix is { } mix ? Mix(mix) : null,
            Texts(plan.Notes),
            result.Findings);
    }

    private static PlannedPlanting Planting(PlantingPlan planting, PlanPlanting facts) => new(
        planting.Planting,
        planting.Stage,
        planting.BudSwell is { } swell ? new BudSwellDays(swell.Expected, swell.Early, swell.Late, swell.Basis.Text) : null,
        planting.Cover,
        facts.ShelteredSince,
        [.. planting.Due.Select(due => new PlannedDue(due.What, due.By, due.Why.Text))],
        new CopperFigures(
            planting.Copper.SeasonG,
            planting.Copper.SeasonKgPerHa,
            planting.Copper.SevenYearKgPerHa,
            planting.Copper.SoilMgPerKg,
            planting.Copper.Uncounted));

    private static PlannedMix Mix(PlanMix mix)
    {
        var (tank, isWeighed) = (mix.Tank, mix.Tank.Unit == ProductUnit.Gram);
        return new PlannedMix(
            mix.Product,
            mix.Plantings,
            tank.WaterL,
            isWeighed ? tank.ProductAmount : null,
            isWeighed ? null : tank.ProductAmount,
            Texts(tank.Steps),
            Texts(tank.Safety));
    }

    private static IReadOnlyList<string> Texts(IEnumerable<Sentence> sentences) => [.. sentences.Select(one => one.Text)];
}
