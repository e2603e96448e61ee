using System.Globalization;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Writes the infection windows of a replay as CSV.</summary>
public static class ReplayCsv
{
    /// <summary>Writes a header and a row for each window.</summary>
    public static void Write(ReplayResult result, TextWriter output)
    {
        output.Write("planting,rule,opened_at,closed_at,level,dose,wet_hours,rain_mm,mean_temp_c,stage,cover,uncertain,no_rain_gauge\n");
        foreach (var w in result.Windows)
        {
            output.Write(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{w.Planting},{w.Rule},{MomentConverter.Text(w.OpenedAt)},"
                        + $"{(result.ClosedAt(w) is { } closed ? MomentConverter.Text(closed) : "")},"
                        + $"{Infection.LevelWords.Word(w.Level)},{w.Dose:0.####},{w.WetHours:0.####},{w.RainMm:0.####},"
                        + $"{w.MeanTempC:0.####},{w.Stage},{w.Cover?.Word()},{Bool(w.Uncertain)},{Bool(w.NoRainGauge)}\n"));
        }
    }

    private static string Bool(bool value) => value ? "true" : "false";
}
