using System.Text.Json;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Forecasts;

/// <summary>Reads a SenML pack (RFC 8428) whose records lie ahead.</summary>
internal static class ForecastSenml
{
    public static string? Fill(JsonElement pack, IReadOnlyList<ForecastColumn> columns, DateTimeOffset now, ForecastRemarks remarks)
    {
        var (records, fault) = SenmlPack.Read(pack, now, 4 * ForecastIntake.MaxRows);
        if (fault is not null) return fault.Text;
        var found = new HashSet<ForecastColumn>();
        var units = new Dictionary<ForecastColumn, string>();
        foreach (var record in records)
        {
            if (record.Time is not { } time)
            {
                remarks.Add("a record whose time is out of range was left out");
                continue;
            }

            foreach (var column in columns)
            {
                if (!string.Equals(column.Field.Path, record.Name, StringComparison.Ordinal)) continue;
                found.Add(column);
                if (record.Unit.Length > 0 && units.GetValueOrDefault(column) != record.Unit) column.UseUnit(units[column] = record.Unit);
                // A record without a number only sets bases, or tells a text or a running sum.
                if (record.Value is { } value) column.Add(time, null, value);
            }
        }

        foreach (var column in columns.Except(found)) remarks.Add($"{column.Field.Name}: no record is named {column.Field.Path}");
        return null;
    }
}
