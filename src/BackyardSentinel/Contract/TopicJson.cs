using System.Text.Json;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Contract;

/// <summary>The payloads of the retained topics.</summary>
public static class TopicJson
{
    /// <summary>The payload of <c>…/risk</c>. A planting that has not been judged yet is unknown, never clear.</summary>
    public static byte[] Risk(SiteWatch watch, Planting planting)
    {
        var risk = watch.LastInterval is null ? null : watch.Risks.FirstOrDefault(one => one.Planting == planting.Id);
        var level = risk?.Level ?? Level.Unknown;
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.WriteString("level", level.Word());
            json.WriteNumber("level_number", (int)level);
            json.Moment("since", risk?.Since);
            json.WriteString("rule", watch.Site.LevelRule);
            if (risk?.Spell is { } spell)
            {
                json.WriteStartObject("spell");
                json.Moment("start", spell.Start);
                json.Figure("wet_hours", spell.WetHours);
                json.Figure("rain_mm", spell.RainMm);
                json.Figure("mean_temp_c", spell.MeanTempC);
                json.WriteBoolean("no_rain_gauge", spell.NoRainGauge);
                json.WriteEndObject();
            }
            else
            {
                json.WriteNull("spell");
            }

            json.WriteStartObject("opinions");
            if (risk is not null)
            {
                foreach (var (rule, opinion) in risk.Opinions.OrderBy(pair => pair.Key, StringComparer.Ordinal))
                    json.WriteString(rule, opinion.Word());
            }

            json.WriteEndObject();
            json.Figure("stage", risk?.Stage ?? planting.Stage);
            json.WriteBoolean("stage_sure", risk?.StageSure ?? planting.Follows is null);
            json.WriteString("cover", risk?.Cover?.Word());
            json.Moment("as_of", watch.LastInterval?.End);
            json.WriteBoolean("sheltered", risk?.Sheltered ?? false);
            json.WriteBoolean("uncertain", risk?.Uncertain ?? true);
            json.WriteEndObject();
        }

        return buffer.ToArray();
    }

    /// <summary>The payload of <c>…/weather</c>; <c>null</c> before the first interval.</summary>
    public static byte[]? Weather(SiteWatch watch)
    {
        if (watch.LastInterval is not { } interval) return null;
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.Moment("start", interval.Start);
            json.Moment("end", interval.End);
            json.Figure("temperature_c", interval.TemperatureC);
            json.Figure("humidity_pct", interval.HumidityPct);
            json.Figure("wind_ms", interval.WindMs);
            json.Figure("rain_mm", interval.RainMm);
            json.Figure("leaf_wet_share", interval.LeafWetShare);
            var air = interval is { TemperatureC: { } t, HumidityPct: { } humidity }
                ? (t, humidity)
                : ((double T, double HumidityPct)?)null;
            json.Figure("dew_point_c", air is { } moist ? Psychrometrics.DewPointC(moist.T, moist.HumidityPct) : null);
            json.Figure(
                "vapour_pressure_deficit_hpa",
                air is { } same ? Psychrometrics.VapourPressureDeficitHpa(same.T, same.HumidityPct) : null);
            json.WriteString("wetness", (watch.LastWetness?.State ?? WetnessState.Unknown).ToString().ToLowerInvariant());
            json.Figure("wet_fraction", watch.LastWetness is { State: not WetnessState.Unknown } wetness ? wetness.Fraction : null);
            json.WriteEndObject();
        }

        return buffer.ToArray();
    }

    /// <summary>The payload of <c>…/alert-path</c>: whether any alert gets out.</summary>
    /// <param name="isDead">No destination has taken anything for a day although alerts wait.</param>
    /// <param name="openSince">Since when the oldest of them waits, UTC.</param>
    /// <param name="lastWorked">When a destination last took one, UTC; <c>null</c>: never yet.</param>
    public static byte[] AlertPath(bool isDead, DateTimeOffset? openSince, DateTimeOffset? lastWorked)
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.WriteString("state", isDead ? "dead" : "working");
            json.Moment("open_since", isDead ? openSince : null);
            json.Moment("last_worked_at", lastWorked);
            json.WriteEndObject();
        }

        return buffer.ToArray();
    }
}
