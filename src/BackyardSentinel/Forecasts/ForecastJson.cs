using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Forecasts;

/// <summary>
/// Our own form of a forecast, for files and for keeping: <c>source</c>, <c>issued</c>, <c>attribution</c>, <c>licence</c>
/// and <c>hours</c>, each with its <c>start</c> and values whose units stand in their names. It is read strictly, since
/// whoever writes it can write it right.
/// </summary>
public static class ForecastJson
{
    private static readonly string[] Keys = ["source", "issued", "attribution", "licence", "hours"];

    /// <summary>The values of an hour with the ranges they must lie in.</summary>
    private static readonly (string Name, double Min, double Max, Func<ForecastHour, double?> Get)[] Values =
    [
        ("temperature_c", Quantities.MinTemperatureC, Quantities.MaxTemperatureC, hour => hour.TemperatureC),
        ("humidity_pct", 0, 100, hour => hour.HumidityPct),
        ("rain_mm", 0, Quantities.MaxRainMm, hour => hour.RainMm),
        ("rain_probability_pct", 0, 100, hour => hour.RainProbabilityPct),
        ("wind_ms", 0, Quantities.MaxWindMs, hour => hour.WindMs),
        ("cloud_pct", 0, 100, hour => hour.CloudPct),
    ];

    /// <summary>Reads a forecast in our form; the first thing wrong with it is the reason why there is none.</summary>
    /// <param name="payload">Its bytes, 1 MiB at most.</param>
    public static ForecastResult Read(ReadOnlyMemory<byte> payload)
    {
        var remarks = new ForecastRemarks();
        try
        {
            using var json = ForecastDocument.Parse(payload, remarks, out var problem);
            return json is null ? ForecastResult.Refuse(problem!) : new ForecastResult(Take(json.RootElement), null, remarks.Said);
        }
        catch (FormatException wrong)
        {
            return ForecastResult.Refuse(wrong.Message, remarks.Said);
        }
        catch (InvalidOperationException)
        {
            return ForecastResult.Refuse("the JSON holds text that is not valid Unicode");
        }
    }

    /// <summary>Writes a forecast in our form, UTF-8, values to four decimals.</summary>
    /// <param name="forecast">The forecast.</param>
    public static byte[] Write(Forecast forecast)
    {
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream, new JsonWriterOptions { Indented = true }))
        {
            json.WriteStartObject();
            json.WriteString("source", forecast.Source);
            json.WriteString("issued", Written(forecast.Issued));
            json.WriteString("attribution", forecast.Attribution);
            json.WriteString("licence", forecast.Licence);
            json.WriteStartArray("hours");
            foreach (var hour in forecast.Hours)
            {
                json.WriteStartObject();
                json.WriteString("start", Written(hour.Start));
                foreach (var (name, _, _, get) in Values)
                {
                    if (get(hour) is { } value) json.WriteNumber(name, Math.Round(value, 4));
                    else json.WriteNull(name);
                }

                json.WriteEndObject();
            }

            json.WriteEndArray();
            json.WriteEndObject();
        }

        return stream.ToArray();
    }

    private static Forecast Take(JsonElement root)
    {
        if (root.ValueKind != JsonValueKind.Object)
            throw new FormatException("a forecast is an object with source, issued and hours; a source's own form needs a map");
        foreach (var key in root.EnumerateObject())
            Known(key.Name, "", Keys);
        var source = Text(root, "source") ?? throw new FormatException("source is missing: name where the forecast comes from");
        var issued = Moment(root, "issued", "");
        if (!root.TryGetProperty("hours", out var list) || list.ValueKind != JsonValueKind.Array)
            throw new FormatException("hours is missing or no list");
        var hours = new List<ForecastHour>();
        string[] known = ["start", .. Values.Select(value => value.Name)];
        foreach (var row in list.EnumerateArray())
        {
            var place = $"hours[{hours.Count}]";
            if (row.ValueKind != JsonValueKind.Object) throw new FormatException($"{place} is no object with a start and values");
            foreach (var key in row.EnumerateObject()) Known(key.Name, place + ".", known);
            var start = Moment(row, "start", place + ".");
            if (start.UtcTicks % TimeSpan.TicksPerHour != 0)
                throw new FormatException($"{place}.start is not a full hour of UTC");
            if (hours.Count > 0 && start <= hours[^1].Start)
                throw new FormatException($"{place}.start is not later than the hour before it");
            var values = Array.ConvertAll(Values, value => Value(row, place, value.Name, value.Min, value.Max));
            hours.Add(new ForecastHour(start, values[0], values[1], values[2], values[3], values[4], values[5]));
        }

        if (hours.Count == 0) throw new FormatException("hours is empty, so there is nothing to plan with");
        return new Forecast(source, issued, hours, Text(root, "attribution"), Text(root, "licence"));
    }

    private static void Known(string key, string place, string[] keys)
    {
        if (!keys.Contains(key, StringComparer.Ordinal))
            throw new FormatException(
                $"{place}{NumberReader.Quote(System.Text.Encoding.UTF8.GetBytes(key))} is not known; there are {string.Join(", ", keys)}");
    }

    private static string? Text(JsonElement root, string key) =>
        !root.TryGetProperty(key, out var value) || value.ValueKind == JsonValueKind.Null ? null
        : value.ValueKind == JsonValueKind.String ? value.GetString()
        : throw new FormatException($"{key} is not a text");

    private static DateTimeOffset Moment(JsonElement row, string key, string place) =>
        row.TryGetProperty(key, out var value) && value.ValueKind == JsonValueKind.String
            ? TimeReader.TryRead(value.GetString()!, out var time, out var reason)
                ? time
                : throw new FormatException($"{place}{key}: {reason}")
            : throw new FormatException($"{place}{key} is missing or no text; write it like 2027-02-01T06:00:00Z");

    private static double? Value(JsonElement row, string place, string name, double min, double max)
    {
        if (!row.TryGetProperty(name, out var value) || value.ValueKind == JsonValueKind.Null) return null;
        if (value.ValueKind != JsonValueKind.Number) throw new FormatException($"{place}.{name} is neither a number nor null");
        var number = value.GetDouble();
        return number >= min && number <= max
            ? number + 0.0
            : throw new FormatException(
                string.Create(CultureInfo.InvariantCulture, $"{place}.{name} is {number}; it must lie within {min} and {max}"));
    }

    private static string Written(DateTimeOffset moment) =>
        moment.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
}
