using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Commands.Plan;

/// <summary>A plan as one JSON object; docs/plan.md describes it.</summary>
public static class PlanJson
{
    /// <summary>The object and a line end.</summary>
    public static string Write(PlanResult result)
    {
        var plan = result.Plan;
        return JsonWriting.Indented(json =>
        {
            json.WriteStartObject();
            json.WriteString("as_of", ReplayJson.Time(plan.AsOf));
            json.WriteString("answer", PlanAnswer.Of(result.Request, plan));
            Array(json, "safety", SpraySafety.For(result.Request.Products), json.WriteStringValue);
            Forecast(json, plan);
            Array(
                json,
                "plantings",
                plan.Plantings,
                planting => Planting(json, planting, result.Request.Plantings.First(one => one.Id == planting.Planting)));
            Array(json, "slots", plan.Slots, slot => Slot(json, slot));
            Array(json, "refused", [.. plan.Refused, .. result.Hours], refused => Refused(json, refused));
            if (result.Mix is { } mix)
                Mix(json, mix);
            Array(json, "notes", plan.Notes, json.WriteStringValue);
            Array(json, "findings", result.Findings, json.WriteStringValue);
            json.WriteEndObject();
        });
    }

    private static void Forecast(Utf8JsonWriter json, SprayPlan plan)
    {
        if (plan.Forecast is not { } forecast)
        {
            json.WriteNull("forecast");
            return;
        }

        json.WriteStartObject("forecast");
        json.WriteString("source", forecast.Source);
        json.WriteString("issued", ReplayJson.Time(forecast.Issued));
        json.WriteString("until", ReplayJson.Time(forecast.Until));
        if (forecast.Attribution is { } credit)
            json.WriteString("attribution", credit);
        if (forecast.Licence is { } licence)
            json.WriteString("licence", licence);
        json.WriteEndObject();
    }

    private static void Planting(Utf8JsonWriter json, PlantingPlan planting, PlanPlanting facts)
    {
        json.WriteStartObject();
        json.WriteString("planting", planting.Planting);
        if (planting.Stage is { } stage)
            json.WriteNumber("stage", stage);
        else
            json.WriteNull("stage");
        if (planting.BudSwell is { } swell)
        {
            json.WriteStartObject("bud_swell");
            json.WriteString("expected", Day(swell.Expected));
            json.WriteString("early", Day(swell.Early));
            json.WriteString("late", Day(swell.Late));
            json.WriteString("basis", swell.Basis);
            json.WriteEndObject();
        }
        else
        {
            json.WriteNull("bud_swell");
        }

        json.WriteString("cover", planting.Cover.Word());
        json.Day("sheltered_since", facts.ShelteredSince);
        Array(json, "due", planting.Due, due =>
        {
            json.WriteStartObject();
            json.WriteString("what", due.What);
            json.WriteString("by", due.By is { } by ? Day(by) : null);
            json.WriteString("why", due.Why);
            json.WriteEndObject();
        });
        json.WriteStartObject("copper");
        json.Figure("season_g", planting.Copper.SeasonG);
        json.Figure("season_kg_per_ha", planting.Copper.SeasonKgPerHa);
        json.Figure("seven_year_kg_per_ha", planting.Copper.SevenYearKgPerHa);
        json.Figure("soil_mg_per_kg", planting.Copper.SoilMgPerKg);
        json.WriteEndObject();
        json.WriteEndObject();
    }

    private static void Slot(Utf8JsonWriter json, SpraySlot slot)
    {
        json.WriteStartObject();
        json.WriteString("planting", slot.Planting);
        json.WriteString("product", slot.Product);
        json.WriteString("start", ReplayJson.Time(slot.Start));
        json.WriteString("end", ReplayJson.Time(slot.End));
        json.WriteNumber("rank", slot.Rank);
        Array(json, "reasons", slot.Reasons, json.WriteStringValue);
        json.WriteEndObject();
    }

    private static void Refused(Utf8JsonWriter json, RefusedSpray refused)
    {
        json.WriteStartObject();
        json.WriteString("planting", refused.Planting);
        json.WriteString("product", refused.Product);
        json.WriteString("start", ReplayJson.Time(refused.From));
        json.WriteString("end", ReplayJson.Time(refused.To));
        json.WriteString("reason", refused.Reason);
        json.WriteEndObject();
    }

    private static void Mix(Utf8JsonWriter json, PlanMix mix)
    {
        json.WriteStartObject("mix");
        json.WriteString("product", mix.Product);
        Array(json, "plantings", mix.Plantings, json.WriteStringValue);
        json.Figure("water_l", mix.Tank.WaterL);
        json.Figure(mix.Tank.Unit == ProductUnit.Gram ? "product_g" : "product_ml", mix.Tank.ProductAmount);
        Array(json, "steps", mix.Tank.Steps, json.WriteStringValue);
        Array(json, "safety", mix.Tank.Safety, json.WriteStringValue);
        json.WriteEndObject();
    }

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static void Array<T>(Utf8JsonWriter json, string name, IReadOnlyList<T> items, Action<T> write)
    {
        json.WriteStartArray(name);
        foreach (var item in items)
            write(item);
        json.WriteEndArray();
    }
}
