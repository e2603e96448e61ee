using System.Text.Json;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Forecasts;

/// <summary>Takes the numbers out of each way to arrange a forecast.</summary>
internal sealed class ForecastIntake(ForecastMap map, JsonElement root, ForecastRemarks remarks)
{
    /// <summary>More rows than this are not read: 16 days of quarter hours and some.</summary>
    public const int MaxRows = 2000;

    private readonly ForecastTimes _times = new(map.TimeZone, remarks);

    /// <summary>Fills the columns, or says why there is nothing to fill them from.</summary>
    public string? Fill(IReadOnlyList<ForecastColumn> columns, DateTimeOffset fetchedAt)
    {
        var rows = root;
        if (map.Rows is { } path)
        {
            if (JsonPath.Parse(path).Find(root) is not { } found) return $"there is nothing at {path}; check the path of the rows";
            rows = found;
        }

        if (map.Shape != ForecastShape.Senml)
        {
            foreach (var column in columns)
            {
                if (column.Field.UnitPath is { } unitPath && JsonPath.Parse(unitPath) is { } unit)
                    column.UseUnit(Text(unit.Find(root)) ?? Missing(column, unit));
            }
        }

        return map.Shape switch
        {
            ForecastShape.Columns => Columns(rows, columns),
            ForecastShape.Layers => Layers(rows, columns),
            ForecastShape.Senml => ForecastSenml.Fill(rows, columns, fetchedAt, remarks),
            ForecastShape.Records or ForecastShape.List => Records(rows, columns),
        };
    }

    /// <summary>A text as it is and a number as written; anything else is no name and no time.</summary>
    public static string? Text(JsonElement? value) => value?.ValueKind switch
    {
        JsonValueKind.String => value.Value.GetString(),
        JsonValueKind.Number => value.Value.GetRawText(),
        _ => null,
    };

    private string? Columns(JsonElement rows, IReadOnlyList<ForecastColumn> columns)
    {
        if (JsonPath.Parse(map.Time).Find(rows) is not { ValueKind: JsonValueKind.Array } timeList)
            return $"there is no list of times at {map.Time}";
        var times = _times.Read([.. Capped(timeList).Select(time => Text(time))]);
        foreach (var column in columns)
        {
            if (JsonPath.Parse(column.Field.Path).Find(rows) is not { ValueKind: JsonValueKind.Array } list)
            {
                remarks.Add($"{column.Field.Name}: there is no list at {column.Field.Path}");
                continue;
            }

            var values = Capped(list);
            if (values.Count < times.Length)
                remarks.Add(
                    $"{column.Field.Name} at {column.Field.Path}: {values.Count} values for {times.Length} "
                        + "times; the last ones are missing");
            if (values.Count > times.Length)
                remarks.Add(
                    $"{column.Field.Name} at {column.Field.Path}: {values.Count} values for {times.Length} times; "
                        + "those without a time were left out");
            for (var i = 0; i < times.Length; i++)
            {
                if (times[i] is { } time) column.Add(time, null, i < values.Count ? values[i] : (JsonElement?)null);
            }
        }

        return null;
    }

    private string? Records(JsonElement rows, IReadOnlyList<ForecastColumn> columns)
    {
        if (rows.ValueKind != JsonValueKind.Array) return $"there is no list of rows at {map.Rows ?? "the top"}";
        var records = Capped(rows);
        var timePath = JsonPath.Parse(map.Time);
        var times = _times.Read([.. records.Select(record => Text(timePath.Find(record)))]);
        foreach (var column in columns)
        {
            var path = JsonPath.Parse(column.Field.Path);
            var found = 0;
            for (var i = 0; i < times.Length; i++)
            {
                var value = path.Find(records[i]);
                if (value is not null) found++;
                if (times[i] is { } time) column.Add(time, null, value);
            }

            if (found == 0 && records.Count > 0) remarks.Add($"{column.Field.Name}: there is nothing at {column.Field.Path} in any row");
        }

        return null;
    }

    private string? Layers(JsonElement rows, IReadOnlyList<ForecastColumn> columns)
    {
        var (timePath, valuePath) = (JsonPath.Parse(map.Time), JsonPath.Parse(map.Value));
        foreach (var column in columns)
        {
            if (JsonPath.Parse(column.Field.Path).Find(rows) is not { ValueKind: JsonValueKind.Array } list)
            {
                remarks.Add($"{column.Field.Name}: there is no list at {column.Field.Path}");
                continue;
            }

            var entries = Capped(list);
            var parts = entries.ConvertAll(entry => _times.Split(Text(timePath.Find(entry))));
            var times = _times.Read(parts.ConvertAll(part => part.Start));
            for (var i = 0; i < times.Length; i++)
            {
                if (times[i] is { } time) column.Add(time, parts[i].Length(time), valuePath.Find(entries[i]));
            }
        }

        return null;
    }

    private List<JsonElement> Capped(JsonElement list)
    {
        var length = list.GetArrayLength();
        if (length > MaxRows) remarks.Add($"the forecast has {length} rows; only the first {MaxRows} were read");
        return [.. list.EnumerateArray().Take(MaxRows)];
    }

    private string? Missing(ForecastColumn column, JsonPath unit)
    {
        remarks.Add($"{column.Field.Name}: there is no unit at {unit.Text}; the map's is taken");
        return null;
    }
}
