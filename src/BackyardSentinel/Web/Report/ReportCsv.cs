using System.Globalization;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Web.Report;

/// <summary>
/// The windows, sprays and looks of a report as one CSV table (RFC 4180): a column for each figure with its unit in its name, times
/// in UTC, a point in numbers. A field that does not belong to a row's kind is empty.
/// </summary>
public static class ReportCsv
{
    /// <summary>The columns.</summary>
    public static IReadOnlyList<string> Columns { get; } =
    [
        "kind", "site", "planting", "on", "opened_at", "closed_at", "rule", "level", "wet_hours", "rain_mm", "mean_temp_c", "cover",
        "sheltered", "outcome", "product", "volume_l", "copper_g", "copper_kg_per_ha", "shoots", "curled", "symptom",
    ];

    /// <summary>Writes a header and the rows.</summary>
    /// <param name="sites">The seasons.</param>
    /// <param name="output">Where to.</param>
    public static void Write(IEnumerable<ReportFacts> sites, TextWriter output)
    {
        output.Write(string.Join(',', Columns) + "\n");
        foreach (var facts in sites)
        {
            foreach (var window in (facts.Slice?.Plantings ?? []).SelectMany(planting => planting.Windows)
                .Where(window => facts.Season.Contains(LocalDay.Of(window.OpenedAt, facts.Site.Zone))))
                Row(output, Window(facts, window));
            foreach (var spray in facts.Sprays)
            {
                Row(output, new()
                {
                    ["kind"] = SprayEntry.Word,
                    ["site"] = facts.Site.Id,
                    ["planting"] = spray.Entry.Planting,
                    ["on"] = Day(spray.Entry.On),
                    ["product"] = spray.Entry.Product,
                    ["volume_l"] = Figure(spray.Entry.VolumeL),
                    ["copper_g"] = Figure(spray.CopperG),
                    ["copper_kg_per_ha"] = Figure(spray.CopperKgPerHa),
                });
            }

            foreach (var look in facts.Looks)
            {
                Row(output, new()
                {
                    ["kind"] = look.Kind,
                    ["site"] = facts.Site.Id,
                    ["planting"] = look.Planting,
                    ["on"] = Day(look.On),
                    ["shoots"] = Figure((look as ScoutEntry)?.Shoots),
                    ["curled"] = Figure((look as ScoutEntry)?.Curled),
                    ["symptom"] = (look as ScoutEntry)?.Symptom?.Word() ?? "",
                });
            }
        }
    }

    private static Dictionary<string, string> Window(ReportFacts facts, InfectionWindow window) => new()
    {
        ["kind"] = "window",
        ["site"] = facts.Site.Id,
        ["planting"] = window.Planting,
        ["on"] = Day(LocalDay.Of(window.OpenedAt, facts.Site.Zone)),
        ["opened_at"] = MomentConverter.Text(window.OpenedAt),
        ["closed_at"] = window.ClosedAt is { } closed ? MomentConverter.Text(closed) : "",
        ["rule"] = window.Rule,
        ["level"] = window.Level.Word(),
        ["wet_hours"] = Figure(window.WetHours),
        ["rain_mm"] = Figure(window.RainMm),
        ["mean_temp_c"] = Figure(window.MeanTempC),
        ["cover"] = window.Cover?.Word() ?? "",
        ["sheltered"] = window.Sheltered ? "true" : "false",
        ["outcome"] = window.Sheltered ? "" : ReportSite.Word(facts.OutcomeOf(window)),
    };

    private static void Row(TextWriter output, Dictionary<string, string> fields) =>
        output.Write(string.Join(',', Columns.Select(column => CsvField.Of(fields.GetValueOrDefault(column, "")))) + "\n");

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Figure(double? value) => value?.ToString("0.####", CultureInfo.InvariantCulture) ?? "";
}
