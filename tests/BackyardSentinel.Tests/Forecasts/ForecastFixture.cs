using System.Text.Json;
using BackyardSentinel.Tests;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Forecasts;

/// <summary>
/// An invented payload with its map and the rows worked out by hand: start, °C, %, mm, % probability, m/s, % cloud. The moments of
/// local times in the nights the clocks change were taken from the IANA time zones by another library (Python's zoneinfo).
/// </summary>
internal sealed class ForecastFixture(JsonElement file)
{
    public static IEnumerable<string> Names =>
        Directory
            .EnumerateFiles(Checkout.Path("tests", "payloads", "forecast"), "*.json")
            .Select(path => Path.GetFileNameWithoutExtension(path))
            .Order(StringComparer.Ordinal);

    public DateTimeOffset FetchedAt => file.GetProperty("fetched_at").GetDateTimeOffset();

    public byte[] Payload => Encoding.UTF8.GetBytes(file.GetProperty("payload").GetRawText());

    public DateTimeOffset Issued => file.GetProperty("expect").GetProperty("issued").GetDateTimeOffset();

    public List<string> Remarks =>
        [.. file.GetProperty("expect").GetProperty("remarks").EnumerateArray().Select(remark => remark.GetString()!)];

    public List<(DateTimeOffset Start, double?[] Values)> Rows =>
        [
            .. file.GetProperty("expect")
                .GetProperty("hours")
                .EnumerateArray()
                .Select(row =>
                    (
                        row[0].GetDateTimeOffset(),
                        row.EnumerateArray()
                            .Skip(1)
                            .Select(value => value.ValueKind == JsonValueKind.Null ? (double?)null : value.GetDouble())
                            .ToArray())),
        ];

    public ForecastMap Map => ReadMap(file.GetProperty("map"));

    public static ForecastMap ReadMap(JsonElement map) => new()
    {
        Shape = Enum.Parse<ForecastShape>(Text(map, "shape")!, ignoreCase: true),
        Source = "Weir Office",
        Attribution = "Data: Weir Office",
        Licence = "CC BY 4.0",
        Rows = Text(map, "rows"),
        Time = Text(map, "time") ?? "time",
        Value = Text(map, "value") ?? "value",
        TimeZone = Text(map, "zone") is { } zone ? TimeZoneInfo.FindSystemTimeZoneById(zone) : null,
        Issued = Text(map, "issued"),
        Quantities = [.. map.GetProperty("quantities").EnumerateArray().Select(Field)],
    };

    public static ForecastFixture Load(string name) =>
        new(JsonDocument.Parse(File.ReadAllBytes(Checkout.Path("tests", "payloads", "forecast", name + ".json"))).RootElement);

    public static void AssertRows(IReadOnlyList<(DateTimeOffset Start, double?[] Values)> expected, IReadOnlyList<ForecastHour> actual)
    {
        Assert.Equal(expected.Select(row => row.Start), actual.Select(hour => hour.Start));
        foreach (var ((start, values), hour) in expected.Zip(actual))
        {
            double?[] told = [hour.TemperatureC, hour.HumidityPct, hour.RainMm, hour.RainProbabilityPct, hour.WindMs, hour.CloudPct];
            for (var i = 0; i < told.Length; i++)
            {
                Assert.True(
                    values[i].HasValue == told[i].HasValue && (values[i] is null || Math.Abs(values[i]!.Value - told[i]!.Value) < 1e-5),
                    $"{start:u} value {i}: expected {values[i]?.ToString() ?? "nothing"}, got {told[i]?.ToString() ?? "nothing"}");
            }
        }
    }

    /// <summary>
    /// What is not said is as in the garden file: rain is a sum, anything else an instant; a sum's period is its interval.
    /// </summary>
    private static ForecastField Field(JsonElement field)
    {
        var quantity = Enum.Parse<ForecastQuantity>(Text(field, "quantity")!.Replace("-", "", StringComparison.Ordinal), ignoreCase: true);
        return new ForecastField(
            quantity,
            Text(field, "path")!,
            Text(field, "unit") is { } unit ? Units.Unit.All.First(one => one.Symbol == unit) : null,
            kind: Enum.Parse<ForecastKind>(
                Text(field, "kind") ?? (quantity == ForecastQuantity.Rain ? "sum" : "instant"),
                ignoreCase: true),
            period: Enum.Parse<ForecastPeriod>(Text(field, "period") ?? "interval", ignoreCase: true),
            hours: field.TryGetProperty("hours", out var hours) ? hours.GetDouble() : 1,
            unitPath: Text(field, "unit_path"));
    }

    private static string? Text(JsonElement parent, string key) => parent.TryGetProperty(key, out var value) ? value.GetString() : null;
}
