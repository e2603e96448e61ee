using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Logs;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Export;

/// <summary>Writes what is exported as CSV (RFC 4180): a header, SI units in its names, times in UTC, a point in numbers.</summary>
internal static class ExportTables
{
    /// <summary>Writes readings, as <see cref="ReadingsFile"/> reads them.</summary>
    public static void Readings(IEnumerable<ReadingsRow> rows, TextWriter output)
    {
        output.Write(ReadingsFile.Header + "\n");
        foreach (var row in rows)
        {
            Write(
                output,
                [
                    Moment(row.Time),
                    row.Received is { } received ? Moment(received) : "",
                    row.Site,
                    row.Place?.ToString(CultureInfo.InvariantCulture) ?? "",
                    .. ReadingsFile.Values.Select((_, i) => row.Values.Length > 0 ? Number(row.Values[i]) : ""),
                    row.Received is null ? ReadingsFile.Stopped : "",
                ]);
        }
    }

    /// <summary>Writes journal entries, as <see cref="JournalFile"/> reads them.</summary>
    public static void Journal(IEnumerable<JournalEntry> entries, TextWriter output)
    {
        Write(output, JournalTable.Columns);
        foreach (var entry in entries)
        {
            using var json = JsonDocument.Parse(JournalJson.Write(entry));
            Write(
                output,
                JournalTable.Columns.Select(column => json.RootElement.TryGetProperty(column, out var value)
                    ? value.ValueKind == JsonValueKind.String ? value.GetString()! : value.GetRawText()
                    : ""));
        }
    }

    /// <summary>Writes the infection windows of sites.</summary>
    public static void Windows(IEnumerable<ReplayResult> sites, TextWriter output)
    {
        var header = true;
        foreach (var site in sites)
        {
            using var windows = new StringWriter();
            ReplayCsv.Write(site, windows);
            var lines = windows.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries);
            if (header)
                output.Write($"site,{lines[0]}\n");
            header = false;
            foreach (var line in lines.Skip(1))
                output.Write($"{site.Site.Id},{line}\n");
        }
    }

    /// <summary>Writes the sprays of sites with the copper that each brought, and what had come together by its day.</summary>
    public static void Copper(
        IEnumerable<Site> sites, IReadOnlyList<JournalEntry> journal, DateTimeOffset from, DateTimeOffset to, TextWriter output)
    {
        output.Write(
            "site,planting,on,product,volume_l,copper_g,copper_kg_per_ha,soil_mg_per_kg,season_kg_per_ha,seven_year_kg_per_ha\n");
        foreach (var site in sites)
        {
            var ledger = SitePlan.Ledger(site, journal);
            foreach (var spray in ledger.Applications.Where(
            spray => Weather.LocalDay.StartOf(spray.Entry.On, site.Zone) is var day && day >= from && day < to))
            {
                var balance = ledger.Balance(spray.Entry.Planting, spray.Entry.On);
                Write(
                    output,
                    [
                        site.Id,
                        spray.Entry.Planting,
                        spray.Entry.On.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
                        spray.Entry.Product,
                        Number(spray.Entry.VolumeL),
                        Figure(spray.CopperG),
                        Figure(spray.CopperKgPerHa),
                        Figure(spray.SoilMgPerKg),
                        Figure(balance.SeasonKgPerHa),
                        Figure(balance.SevenYearKgPerHa),
                    ]);
            }
        }
    }

    /// <summary>A moment with as many digits behind the second as it needs.</summary>
    internal static string Moment(DateTimeOffset moment) =>
        moment.UtcDateTime.ToString(ReadingsFile.TimeForm, CultureInfo.InvariantCulture);

    /// <summary>Writes one row.</summary>
    internal static void Write(TextWriter output, IEnumerable<string> fields) =>
        output.Write(string.Join(',', fields.Select(CsvField.Of)) + "\n");

    // The shortest digits that give the number back exactly.
    private static string Number(double? value) => value?.ToString(CultureInfo.InvariantCulture) ?? "";

    private static string Figure(double? value) => value?.ToString("0.####", CultureInfo.InvariantCulture) ?? "";
}
