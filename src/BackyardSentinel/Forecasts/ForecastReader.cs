using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Forecasts;

/// <summary>Reads a source's forecast by its map into clock hours of UTC. No payload makes it throw.</summary>
public static class ForecastReader
{
    /// <summary>Larger payloads are not read.</summary>
    public const int MaxBytes = 1024 * 1024;

    private const int MaxDepth = 64, DaysBack = 2, DaysAhead = 17;

    /// <summary>Reads one payload.</summary>
    /// <param name="payload">Its bytes.</param>
    /// <param name="map">How the source is read, its paths checked; <c>null</c> where it writes our own form, <see
    /// cref="ForecastJson"/>.</param>
    /// <param name="fetchedAt">When it was fetched. Hours from 2 days before to 17 days after are kept.</param>
    /// <param name="ageUnknown">
    /// It is a broker's stored copy: unless it says when it was issued, it counts as issued at its first hour or at the
    /// fetching, whichever is earlier.
    /// </param>
    public static ForecastResult Read(ReadOnlyMemory<byte> payload, ForecastMap? map, DateTimeOffset fetchedAt, bool ageUnknown = false)
    {
        if (map is null) return ForecastJson.Read(payload);
        var remarks = new ForecastRemarks();
        try
        {
            using var json = ForecastDocument.Parse(payload, remarks, out var problem);
            return json is null
                ? ForecastResult.Refuse(problem!, remarks.Said)
                : Read(json.RootElement, map, fetchedAt.ToUniversalTime(), ageUnknown, remarks);
        }
        catch (InvalidOperationException)
        {
            // The parser leaves text unchecked until it is asked for: half a surrogate pair or a broken byte shows here.
            return ForecastResult.Refuse("the JSON holds text that is not valid Unicode", remarks.Said);
        }
    }

    private static ForecastResult Read(
        JsonElement root,
        ForecastMap map,
        DateTimeOffset fetchedAt,
        bool ageUnknown,
        ForecastRemarks remarks)
    {
        List<ForecastColumn> columns = [.. map.Quantities.Select(field => new ForecastColumn(field, remarks))];
        if (new ForecastIntake(map, root, remarks).Fill(columns, fetchedAt) is { } problem)
            return ForecastResult.Refuse(problem, remarks.Said);
        columns.ForEach(column => column.Finish());

        var grid = new ForecastGrid(
            ClockHour.Of(fetchedAt).AddDays(-DaysBack),
            (DaysBack + DaysAhead) * 24);
        var spread = new ForecastSpread(columns, grid, remarks);
        if (spread.First is not { } first || spread.End is not { } end)
            return ForecastResult.Refuse("it holds no value that could be taken; check the paths of time and quantities", remarks.Said);
        if (end <= fetchedAt)
            return ForecastResult.Refuse($"the forecast ends on {Shown(end)}: it is old, nothing used", remarks.Said);
        if (first >= grid.End)
            return ForecastResult.Refuse(
                $"the forecast begins on {Shown(first)}, more than {DaysAhead} days ahead: check its time and zone, nothing used",
                remarks.Said);
        if ((first - fetchedAt).Duration() > TimeSpan.FromDays(1))
            remarks.Add(
                $"the first hour, {Shown(first)}, lies more than 24 hours from the fetching on {Shown(fetchedAt)}; check time and zone");
        if (end > grid.End)
            remarks.Add($"hours after {Shown(grid.End)} were left out");

        var hours = spread.Hours();
        if (hours.Count == 0 || hours[^1].Start.AddHours(1) <= fetchedAt)
            return ForecastResult.Refuse("it holds no value for an hour to come, nothing used", remarks.Said);
        var issued = Issued(root, map, fetchedAt, remarks) ?? (ageUnknown && first < fetchedAt ? first : fetchedAt);
        if (fetchedAt - issued > Forecast.LongestUse)
            remarks.Add($"it was issued on {Shown(issued)}, more than {Forecast.LongestUse.TotalHours:0} hours before it was fetched");
        return new ForecastResult(new Forecast(map.Source, issued, hours, map.Attribution, map.Licence), null, remarks.Said);
    }

    private static DateTimeOffset? Issued(JsonElement root, ForecastMap map, DateTimeOffset fetchedAt, ForecastRemarks remarks)
    {
        if (map.Issued is not { } path) return null;
        if (ForecastIntake.Text(JsonPath.Parse(path).Find(root)) is not { } text)
        {
            remarks.Add($"there is no time of issue at {path}; the time of fetching is taken");
            return null;
        }

        var issued = new ForecastTimes(map.TimeZone, new ForecastRemarks()).ReadOne(text);
        if (issued is null)
            remarks.Add($"the time of issue at {path} cannot be read; the time of fetching is taken");
        else if (issued > fetchedAt + Forecast.LargestLead)
            remarks.Add($"the time of issue, {Shown(issued.Value)}, lies ahead; the time of fetching is taken");
        else
            return issued < fetchedAt ? issued : fetchedAt;
        return null;
    }

    private static string Shown(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd HH:mm 'UTC'", CultureInfo.InvariantCulture);
}
