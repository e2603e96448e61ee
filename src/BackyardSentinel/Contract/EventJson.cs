using System.Text;
using System.Text.Json;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Contract;

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
                case BudsChanged buds:
                    json.WriteString("kind", "buds-changed");
                    json.WriteString("planting", buds.Planting);
                    json.WriteString("from", buds.From.Word());
                    json.WriteString("to", buds.To.Word());
                    json.Day("on", buds.On);
                    break;
                case BudStageReached stage:
                    json.WriteString("kind", "stage-reached");
                    json.WriteString("planting", stage.Planting);
                    json.WriteNumber("code", stage.Code);
                    json.Day("on", stage.On);
                    json.WriteBoolean("seen", stage.Logged);
                    break;
                case SeasonClosed closed:
                    json.WriteString("kind", "season-closed");
                    json.WriteString("planting", closed.Planting);
                    json.Day("on", closed.On);
                    json.WriteString("because", closed.Because);
                    json.WriteBoolean("curl_may_show", closed.CurlMayShow);
                    break;
                case ScoutingFellDue due:
                    json.WriteString("kind", "scouting-due");
                    json.WriteString("planting", due.Planting);
                    json.Moment("window_opened_at", due.WindowOpenedAt);
                    json.Day("likely_from", due.LikelyFrom);
                    json.Day("likely_to", due.LikelyTo);
                    json.WriteBoolean("may_not_develop", due.MayNotDevelop);
                    break;
                case BudLookFellDue look:
                    json.WriteString("kind", "look-at-buds");
                    json.WriteString("planting", look.Planting);
                    json.WriteNumber("code", look.Code);
                    json.WriteBoolean("expected", look.Expected);
                    json.Day("on", look.On);
                    break;
                case NeedsFellShort needs:
                    json.WriteString("kind", "needs-fell-short");
                    json.WriteString("planting", needs.Planting);
                    json.Day("on", needs.On);
                    json.Figure("chill", needs.Chill);
                    json.Figure("need", needs.Need);
                    break;
                case PickingFellDue due:
                    json.WriteString("kind", "picking-due");
                    json.WriteString("planting", due.Planting);
                    json.Day("scouted_on", due.ScoutedOn);
                    break;
                case CoverChanged cover:
                    json.WriteString("kind", "cover-changed");
                    json.WriteString("planting", cover.Planting);
                    json.WriteString("cover", cover.Cover.Word());
                    json.WriteString("product", cover.Product);
                    json.Day("sprayed_on", cover.SprayedOn);
                    json.Figure("rain_mm", cover.RainMm);
                    break;
                case ReadingsDoubted doubted:
                    json.WriteString("kind", "readings-doubted");
                    Doubt(json, doubted.Doubt);
                    break;
                case ReadingsTrusted trusted:
                    json.WriteString("kind", "readings-trusted");
                    Doubt(json, trusted.Doubt);
                    break;
                default:
                    throw new ArgumentOutOfRangeException(nameof(fact), fact, "This event has no JSON yet.");
            }

            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(buffer.ToArray());
    }

    private static void Doubt(Utf8JsonWriter json, SeriesDoubt doubt)
    {
        json.WriteString("quantity", doubt.Quantity.Word());
        json.WriteNumber("rank", doubt.Rank);
        json.WriteString("fault", doubt.Word);
        json.Moment("since", doubt.Since);
        json.Figure("lowest", doubt.Lowest);
        json.Figure("highest", doubt.Highest);
    }

    private static void Spell(Utf8JsonWriter json, WetSpell spell)
    {
        json.Moment("start", spell.Start);
        json.Moment("end", spell.End);
        json.Figure("wet_hours", spell.WetHours);
        json.Figure("rain_mm", spell.RainMm);
        json.Figure("mean_temp_c", spell.MeanTempC);
        json.WriteBoolean("uncertain", spell.Uncertain);
    }

    private static void Window(Utf8JsonWriter json, InfectionWindow window)
    {
        json.WriteString("planting", window.Planting);
        json.WriteString("rule", window.Rule.Word());
        json.Moment("opened_at", window.OpenedAt);
        json.Moment("closed_at", window.ClosedAt);
        json.WriteString("level", window.Sheltered ? null : window.Level.Word());
        json.Figure("wet_hours", window.WetHours);
        json.Figure("rain_mm", window.RainMm);
        json.Figure("mean_temp_c", window.MeanTempC);
        json.Figure("stage", window.Stage);
        json.WriteString("cover", window.Cover?.Word());
        json.WriteBoolean("uncertain", window.Uncertain);
        json.WriteBoolean("sheltered", window.Sheltered);
    }
}
