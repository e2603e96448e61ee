using System.Globalization;

namespace BackyardSentinel.Commands;

/// <summary>Writes the infection windows of a replay as CSV.</summary>
public static class ReplayCsv
{
    /// <summary>Writes a header and a row for each window.</summary>
    public static void Write(ReplayResult result, TextWriter output)
    {
        output.Write("planting,rule,opened_at,closed_at,level,dose,wet_hours,rain_mm,mean_temp_c,uncertain,no_rain_gauge\n");
        foreach (var w in result.Windows)
        {
            output.Write(string.Create(CultureInfo.InvariantCulture,
                $"{w.Planting},{w.Rule},{ReplayJson.Time(w.OpenedAt)},{ReplayJson.Time(w.ClosedAt!.Value)},{Infection.LevelWords.Word(w.Level)},{w.Dose},{w.WetHours},{w.RainMm},{w.MeanTempC},{Bool(w.Uncertain)},{Bool(w.NoRainGauge)}\n"));
        }
    }

    private static string Bool(bool value) => value ? "true" : "false";
}
