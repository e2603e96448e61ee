using System.Text.Json;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Writes a replay as one JSON object; docs/replay.md describes it.</summary>
public static class ReplayJson
{
    /// <summary>Writes the object and a line end.</summary>
    /// <param name="result">What the replay found.</param>
    /// <param name="output">Where to.</param>
    /// <param name="say">The words of an alert; <c>null</c>: the built-in ones.</param>
    public static void Write(ReplayResult result, Stream output, Func<Alert, AlertText>? say = null)
    {
        var words = say is null && result.Alerts.Count > 0 ? AlertWords.English(result.Site.Units) : null;
        using (var json = new Utf8JsonWriter(output, JsonWriting.Options))
        {
            json.WriteStartObject();
            Array(json, "log", result.Logs, (w, log) => w.WriteStringValue(log));
            json.WriteString("site", result.Site.Id);
            json.WriteNumber("rows", result.Rows);
            Array(json, "rejected", result.Rejected, (w, row) =>
            {
                w.WriteStartObject();
                if (result.Logs.Count > 1)
                    w.WriteString("log", row.File);
                w.WriteNumber("line", row.Line);
                w.WriteString("reason", row.Reason);
                w.WriteEndObject();
            });
            json.WriteNumber("rejected_count", result.RejectedCount);
            json.WriteNumber("intervals", result.Intervals);
            Array(json, "spells", result.Spells, Spell);
            Array(json, "windows", [.. result.Windows.Concat(result.Sheltered).OrderBy(window => window.OpenedAt)], Window);
            Array(json, "stages", result.Stages, Stage);
            Array(json, "may_be_open", result.MayBeOpen, (w, span) =>
            {
                w.WriteStartObject();
                w.WriteString("planting", span.Planting);
                w.WriteString("from", Day(span.From));
                w.WriteString("to", Day(span.To));
                w.WriteEndObject();
            });
            Array(json, "alerts", result.Alerts, (w, alert) =>
            {
                w.WriteStartObject();
                var text = say is null ? words!.Say(alert, _ => result.Site.Zone) : say(alert);
                w.WriteString("id", alert.Id);
                w.WriteString("at", Time(alert.At));
                w.WriteString("kind", alert.Kind);
                Array(w, "plantings", alert.Plantings, (list, planting) => list.WriteStringValue(planting));
                w.WriteString("level", alert.Level?.Word());
                w.WriteString("urgency", alert.Urgency.ToString().ToLowerInvariant());
                w.WriteString("title", text.Title);
                w.WriteString("text", text.Body);
                w.WriteEndObject();
            });
            Array(json, "findings", result.Findings, (w, finding) => w.WriteStringValue(finding));
            json.WriteEndObject();
        }

        output.Write("\n"u8);
    }

    /// <summary>A moment as the program writes it everywhere: ISO 8601, UTC, whole seconds.</summary>
    public static string Time(DateTimeOffset time) =>
        time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture);

    private static void Spell(Utf8JsonWriter json, WetSpell spell)
    {
        json.WriteStartObject();
        json.WriteString("start", Time(spell.Start));
        json.WriteString("end", Time(spell.End));
        json.Figure("wet_hours", spell.WetHours);
        json.Figure("rain_mm", spell.RainMm);
        json.Figure("mean_temp_c", spell.MeanTempC);
        json.Figure("min_temp_c", spell.MinTempC);
        json.Figure("max_temp_c", spell.MaxTempC);
        json.WriteBoolean("uncertain", spell.Uncertain);
        json.WriteBoolean("no_rain_gauge", spell.NoRainGauge);
        json.WriteEndObject();
    }

    private static void Stage(Utf8JsonWriter json, BudStageReached stage)
    {
        json.WriteStartObject();
        json.WriteString("planting", stage.Planting);
        json.WriteNumber("code", stage.Code);
        json.WriteString("on", Day(stage.On));
        json.WriteString("source", stage.Logged ? "seen" : "computed");
        json.WriteString("early", Day(stage.Early));
        json.WriteString("late", Day(stage.Late));
        json.WriteEndObject();
    }

    private static string? Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);

    private static void Window(Utf8JsonWriter json, InfectionWindow window)
    {
        json.WriteStartObject();
        json.WriteString("planting", window.Planting);
        json.WriteString("rule", window.Rule.Word());
        json.WriteString("opened_at", Time(window.OpenedAt));
        json.WriteString("closed_at", Time(window.ClosedAt!.Value));
        json.WriteString("level", window.Sheltered ? null : window.Level.Word());
        json.Figure("dose", window.Sheltered ? null : window.Dose);
        json.Figure("wet_hours", window.WetHours);
        json.Figure("rain_mm", window.RainMm);
        json.Figure("mean_temp_c", window.MeanTempC);
        json.Figure("stage", window.Stage);
        json.WriteString("cover", window.Cover?.Word());
        json.WriteBoolean("uncertain", window.Uncertain);
        json.WriteBoolean("no_rain_gauge", window.NoRainGauge);
        json.WriteBoolean("sheltered", window.Sheltered);
        json.WriteEndObject();
    }

    private static void Array<T>(Utf8JsonWriter json, string name, IReadOnlyList<T> items, Action<Utf8JsonWriter, T> write)
    {
        json.WriteStartArray(name);
        foreach (var item in items)
            write(json, item);
        json.WriteEndArray();
    }
}
