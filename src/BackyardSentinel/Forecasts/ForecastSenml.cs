using System.Text.Json;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Forecasts;

/// <summary>Reads a SenML pack in JSON (RFC 8428) whose records lie ahead.</summary>
internal static class ForecastSenml
{
    /// <summary>Times below 2^28 s count from now, others from 1970 (RFC 8428, 4.5.3).</summary>
    private const double RelativeBelow = 1 << 28;

    /// <summary>The version of the format that is read (RFC 8428, 4.4).</summary>
    private const double Version = 10;

    public static string? Fill(JsonElement pack, IReadOnlyList<ForecastColumn> columns, DateTimeOffset now, ForecastRemarks remarks)
    {
        if (pack.ValueKind != JsonValueKind.Array)
            return "a SenML pack is a list of records, and this is none";
        if (pack.GetArrayLength() > 4 * ForecastIntake.MaxRows)
            return $"the pack has {pack.GetArrayLength()} records; up to {4 * ForecastIntake.MaxRows} are read";
        var found = new HashSet<ForecastColumn>();
        var units = new Dictionary<ForecastColumn, string>();
        string baseName = "", baseUnit = "";
        double baseTime = 0, baseValue = 0;
        foreach (var record in pack.EnumerateArray())
        {
            if (record.ValueKind != JsonValueKind.Object) return "a SenML record is an object, and one of the pack is none";
            if (Fault(record) is { } fault) return fault;

            // A base holds for its record and all later ones until another replaces it (4.6).
            baseName = TextOf(record, "bn") ?? baseName;
            baseUnit = TextOf(record, "bu") ?? baseUnit;
            baseTime = NumberOf(record, "bt") ?? baseTime;
            baseValue = NumberOf(record, "bv") ?? baseValue;
            var name = baseName + TextOf(record, "n");
            if (Moment(baseTime + (NumberOf(record, "t") ?? 0), now) is not { } time)
            {
                remarks.Add("a record whose time is out of range was left out");
                continue;
            }

            foreach (var column in columns)
            {
                if (!string.Equals(column.Field.Path, name, StringComparison.Ordinal)) continue;
                found.Add(column);
                var unit = TextOf(record, "u") ?? baseUnit;
                if (unit.Length > 0 && units.GetValueOrDefault(column) != unit) column.UseUnit(units[column] = unit);
                // A record without a number only sets bases, or tells a text or a running sum.
                if (NumberOf(record, "v") is { } value) column.Add(time, null, baseValue + value);
            }
        }

        foreach (var column in columns.Except(found)) remarks.Add($"{column.Field.Name}: no record is named {column.Field.Path}");
        return null;
    }

    /// <summary>What forbids to read the pack at all.</summary>
    private static string? Fault(JsonElement record)
    {
        foreach (var label in record.EnumerateObject())
        {
            if (label.Name.EndsWith('_'))
                return $"the SenML label {NumberReader.Quote(System.Text.Encoding.UTF8.GetBytes(label.Name))} must be understood, and it is not known here (RFC 8428, 4.4)";
            if (label.NameEquals("bver") && (label.Value.ValueKind != JsonValueKind.Number || label.Value.GetDouble() > Version))
                return $"the SenML version {label.Value.GetRawText()} is newer than {Version}, which is read here";
        }

        return null;
    }

    private static DateTimeOffset? Moment(double seconds, DateTimeOffset now)
    {
        var milliseconds = (seconds < RelativeBelow ? now.ToUnixTimeMilliseconds() : 0) + (seconds * 1000);
        return milliseconds is > -6e13 and < 2e14 ? DateTimeOffset.FromUnixTimeMilliseconds((long)Math.Floor(milliseconds)) : null;
    }

    private static string? TextOf(JsonElement record, string label) =>
        record.TryGetProperty(label, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;

    private static double? NumberOf(JsonElement record, string label) =>
        record.TryGetProperty(label, out var value)
        && value.ValueKind == JsonValueKind.Number
        && value.GetDouble() is var number
        && double.IsFinite(number)
            ? number
            : null;
}
