using System.Text;
using System.Text.Json;
using BackyardSentinel.Events;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Hosting;

/// <summary>Writes events as JSON for the store.</summary>
internal static class EventJson
{
    public static string Write(SentinelEvent fact)
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.WriteString("key", fact.Key);
            json.WriteString("site", fact.Site);
            json.Moment("at", fact.At);
            switch (fact)
            {
                case WetSpellStarted started:
                    json.WriteString("kind", "spell-started");
                    Spell(json, started.Spell);
                    break;
                case WetSpellEnded ended:
                    json.WriteString("kind", "spell-ended");
                    Spell(json, ended.Spell);
                    break;
                case InfectionWindowOpened opened:
                    json.WriteString("kind", "window-opened");
                    Window(json, opened.Window);
                    break;
                case InfectionWindowClosed closed:
                    json.WriteString("kind", "window-closed");
                    Window(json, closed.Window);
                    break;
                case LevelChanged changed:
                    json.WriteString("kind", "level-changed");
                    json.WriteString("planting", changed.Planting);
                    json.WriteString("from", changed.From.Word());
                    json.WriteString("to", changed.To.Word());
                    json.Moment("since", changed.Since);
                    break;
                default:
                    json.WriteString("kind", fact.GetType().Name);
                    break;
            }

            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(buffer.ToArray());
    }

    private static void Spell(Utf8JsonWriter json, WetSpell spell)
    {
        json.Moment("start", spell.Start);
        json.Moment("end", spell.End);
        json.WriteNumber("wet_hours", spell.WetHours);
        json.WriteNumber("rain_mm", spell.RainMm);
        json.Figure("mean_temp_c", spell.MeanTempC);
        json.WriteBoolean("uncertain", spell.Uncertain);
    }

    private static void Window(Utf8JsonWriter json, InfectionWindow window)
    {
        json.WriteString("planting", window.Planting);
        json.WriteString("rule", window.Rule);
        json.Moment("opened_at", window.OpenedAt);
        json.Moment("closed_at", window.ClosedAt);
        json.WriteString("level", window.Level.Word());
        json.Figure("wet_hours", window.WetHours);
        json.Figure("rain_mm", window.RainMm);
        json.Figure("mean_temp_c", window.MeanTempC);
        json.WriteBoolean("uncertain", window.Uncertain);
    }
}
