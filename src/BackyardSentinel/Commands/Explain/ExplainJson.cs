using System.Text.Json;
using BackyardSentinel.Commands.Replay;
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
        output.Write(JsonWriting.Indented(json =>
        {
            json.WriteStartObject();
            json.Moment("as_of", at);
            json.WriteStartArray("sites");
            foreach (var (scene, plantings) in sites)
                Site(json, scene, plantings);
            json.WriteEndArray();
            json.WriteEndObject();
        }));
    }

    private static void Site(Utf8JsonWriter json, ExplainScene scene, IReadOnlyList<PlantingWatch> plantings)
    {
        json.WriteStartObject();
        json.WriteString("site", scene.Garden.Id);
        json.WriteString("answer", ExplainAnswer.Of(scene, plantings));
        Spell(json, scene.Watch.RunningSpell);
        json.WriteStartArray("readings");
        foreach (var (quantity, last) in ExplainSensors.Readings(scene))
        {
            json.WriteStartObject();
            json.WriteString("quantity", quantity.Word());
            json.Figure("value", last?.Value);
            json.Moment("time", last?.Time);
            json.Figure("age_minutes", last is { } reading ? (scene.At - reading.Time).TotalMinutes : null);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        Lines(json, "missing", ExplainSensors.Missing(scene));
        json.WriteStartArray("plantings");
        foreach (var planting in plantings)
            Planting(json, scene, planting);
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Planting(Utf8JsonWriter json, ExplainScene scene, PlantingWatch planting)
    {
        var (risk, model) = (planting.Risk, planting.Stage.Model);
        json.WriteStartObject();
        json.WriteString("planting", planting.Planting.Id);
        json.WriteString("level", risk.Level.Word());
        json.WriteNumber("level_number", (int)risk.Level);
        json.Moment("since", risk.Since);
        json.WriteString("rule", scene.Garden.LevelRule.Word());
        json.Figure("fraction_reached", risk.FractionReached);
        json.WriteBoolean("uncertain", risk.Uncertain);
        json.WriteStartObject("stage");
        json.Figure("code", planting.Stage.Code);
        json.WriteString("source", model is null ? "fixed" : planting.Stage.Source.Word());
        json.WriteString("buds", planting.Stage.Buds.Word());
        var swell = model?.DatesOf(BudStage.LeafBudSwell);
        json.Day("swell_earliest", swell?.Early);
        json.Day("swell_expected", swell?.Expected);
        json.Day("swell_latest", swell?.Late);
        json.Figure("chill_sum", model?.ChillSum);
        json.Figure("chill_need", model?.Needs.ChillNeed);
        json.Figure("heat_sum", model?.HeatSum);
        Lines(json, "because", ExplainStage.Lines(scene, planting));
        json.WriteEndObject();
        json.Figure("susceptibility", risk.Susceptibility);
        json.WriteString("tissue", ExplainStage.Tissue(scene, planting));
        Swell(json, ExplainStage.Swell(scene, planting));
        Shelter(json, scene, planting);
        json.WriteStartArray("rules");
        foreach (var rule in planting.Rules)
            Rule(json, rule, risk.Opinions[rule.Name], scene.SpellForRules(planting));
        json.WriteEndArray();
        json.WriteString("cover", planting.Cover.Cover.Word());
        json.Figure("rain_since_spray_mm", planting.Cover.Last is null ? null : planting.Cover.RainMm);
        json.WriteString("fruit", ExplainLevel.Fruit(scene, planting));
        json.WriteStartArray("incubations");
        foreach (var one in planting.Incubations)
            Incubation(json, one);
        json.WriteEndArray();
        Lines(json, "windows", ExplainLevel.Windows(scene, planting));
        Lines(json, "change", ExplainChange.Lines(scene, planting));
        Lines(json, "missing", ExplainSensors.Missing(scene, planting));
        json.WriteEndObject();
    }

    private static void Rule(Utf8JsonWriter json, InfectionRule rule, Level level, WetSpell? spell)
    {
        json.WriteStartObject();
        json.WriteString("rule", rule.Name.Word());
        json.WriteString("level", level.Word());
        json.WriteStartArray("conditions");
        foreach (var condition in rule.Explain(spell, Units.UnitSystem.Metric))
        {
            json.WriteStartObject();
            json.WriteString("what", condition.What);
            json.Figure("value", condition.Value);
            json.WriteString("unit", condition.Unit);
            json.WriteString("asked", condition.Asked);
            json.WriteBoolean("met", condition.IsMet);
            json.Figure("short", condition.Lack);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Spell(Utf8JsonWriter json, WetSpell? running)
    {
        if (running is not { } spell)
        {
            json.WriteNull("spell");
            return;
        }

        json.WriteStartObject("spell");
        json.Moment("start", spell.Start);
        json.Moment("end", spell.End);
        json.Figure("wet_hours", spell.WetHours);
        json.Figure("rain_mm", spell.RainMm);
        json.Figure("mean_temp_c", spell.MeanTempC);
        json.Figure("min_temp_c", spell.MinTempC);
        json.Figure("max_temp_c", spell.MaxTempC);
        json.WriteBoolean("uncertain", spell.Uncertain);
        json.WriteBoolean("no_rain_gauge", spell.NoRainGauge);
        json.WriteEndObject();
    }

    private static void Shelter(Utf8JsonWriter json, ExplainScene scene, PlantingWatch planting)
    {
        if (planting.Shelter.OnSince(scene.Today) is not { } since)
        {
            json.WriteNull("shelter");
            return;
        }

        json.WriteStartObject("shelter");
        json.Day("on_since", since);
        json.WriteString("open_sky_level", planting.OpenSkyLevel?.Word());
        json.WriteStartArray("kept_off");
        foreach (var window in planting.KeptOff)
            json.WriteStringValue(ReplayJson.Time(window.OpenedAt));
        json.WriteEndArray();
        Spell(json, planting.Risk.Spell);
        Lines(json, "because", ExplainShelter.Lines(scene, planting));
        json.WriteEndObject();
    }

    private static void Swell(Utf8JsonWriter json, BudSwell? expected)
    {
        if (expected is not { } swell)
        {
            json.WriteNull("bud_swell");
            return;
        }

        json.WriteStartObject("bud_swell");
        json.WriteString("expected", swell.Expected is { } on ? ExplainWords.Day(on) : null);
        json.WriteString("early", swell.Early is { } early ? ExplainWords.Day(early) : null);
        json.WriteString("late", swell.Late is { } late ? ExplainWords.Day(late) : null);
        json.WriteString("basis", swell.Basis);
        json.WriteEndObject();
    }

    private static void Incubation(Utf8JsonWriter json, Incubation one)
    {
        json.WriteStartObject();
        json.Moment("opened_at", one.OpenedAt);
        json.Day("possible_from", one.Possible);
        json.Day("likely_from", one.LikelyFrom);
        json.Day("likely_to", one.LikelyTo);
        json.Day("possible_to", one.Last);
        json.Figure("degree_days", one.DegreeDays);
        json.WriteBoolean("may_not_develop", one.MayNotDevelop);
        json.WriteEndObject();
    }

    private static void Lines(Utf8JsonWriter json, string name, IEnumerable<string> lines)
    {
        json.WriteStartArray(name);
        foreach (var line in lines)
            json.WriteStringValue(line);
        json.WriteEndArray();
    }
}
