using System.Globalization;
using System.Text;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Influx;

/// <summary>Readings that were read back from a server, with what is not known of them here.</summary>
/// <param name="Readings">The readings in the order of their own times.</param>
/// <param name="Unknown">Names of series that the server has and the garden does not, with the number of their readings.</param>
public sealed record InfluxSeason(IReadOnlyList<SensedReading> Readings, IReadOnlyDictionary<string, long> Unknown);

/// <summary>Reads back what <see cref="InfluxLines"/> wrote of a site's readings, in Flux.</summary>
public static class InfluxReadings
{
    /// <summary>One query asks for so much at most, so that no answer fills the memory.</summary>
    private static readonly TimeSpan Portion = TimeSpan.FromDays(30);

    /// <summary>The query for a site's readings of a time.</summary>
    /// <param name="bucket">The bucket.</param>
    /// <param name="site">The site's id.</param>
    /// <param name="from">From this moment on.</param>
    /// <param name="to">And before this one.</param>
    public static string Query(string bucket, string site, DateTimeOffset from, DateTimeOffset to) =>
        $"""
        from(bucket: {Text(bucket)})
          |> range(start: {Moment(from)}, stop: {Moment(to)})
          |> filter(fn: (r) => r._measurement == {Text(InfluxLines.Readings)} and r.site == {Text(site)})
          |> filter(fn: (r) => r._field == "value" or r._field == "received_us")
          |> pivot(rowKey: ["_time"], columnKey: ["_field"], valueColumn: "_value")
          |> keep(columns: ["_time", "series", "value", "received_us"])
        """;

    /// <summary>Reads a range, a portion at a time.</summary>
    /// <param name="server">The server.</param>
    /// <param name="bucket">The bucket.</param>
    /// <param name="series">The garden's series.</param>
    /// <param name="site">The site's id.</param>
    /// <param name="from">From this moment on.</param>
    /// <param name="to">And before this one.</param>
    /// <param name="ct">Gives up.</param>
    /// <returns>The season, or why there is none.</returns>
    public static async Task<(InfluxSeason? Season, InfluxAnswer Answer)> ReadAsync(
        InfluxServer server,
        string bucket,
        IEnumerable<SeriesMap> series,
        string site,
        DateTimeOffset from,
        DateTimeOffset to,
        CancellationToken ct)
    {
        ArgumentNullException.ThrowIfNull(server);
        var known = series.Where(map => map.SiteId == site).ToDictionary(map => map.Name, StringComparer.Ordinal);
        List<SensedReading> readings = [];
        Dictionary<string, long> unknown = new(StringComparer.Ordinal);
        var answer = new InfluxAnswer(InfluxOutcome.Taken);
        for (var start = from; start < to && answer.Outcome == InfluxOutcome.Taken; start += Portion)
        {
            var end = to - start > Portion ? start + Portion : to;
            answer = await server.QueryAsync(Query(bucket, site, start, end), Take, ct).ConfigureAwait(false);
        }

        if (answer.Outcome != InfluxOutcome.Taken)
            return (null, answer);
        return (new InfluxSeason([.. readings.OrderBy(one => one.Reading.Time)], unknown), answer);

        void Take(IReadOnlyDictionary<string, object?> row)
        {
            var name = row.GetValueOrDefault("series") as string ?? "";
            if (
                row.GetValueOrDefault("_time") is not DateTimeOffset time
                || row.GetValueOrDefault("value") is not double value
                || row.GetValueOrDefault("received_us") is not long receivedUs)
                return;
            if (known.TryGetValue(name, out var map))
                readings.Add(SeriesMaps.Sensed(map, new StoredReading(0, time.ToUnixTimeMilliseconds(), value, receivedUs)));
            else
                unknown[name] = unknown.GetValueOrDefault(name) + 1;
        }
    }

    /// <summary>
    /// A text as Flux takes it literally, by its specification ("String literals"): quotes and backslashes are escaped; the sign
    /// that begins an interpolation, and what cannot be seen, are written as bytes.
    /// </summary>
    private static string Text(string text)
    {
        var literal = new StringBuilder("\"");
        foreach (var letter in text)
        {
            if (letter is '"' or '\\')
                literal.Append('\\').Append(letter);
            else if (letter is < ' ' or '\x7f' or '$')
                literal.Append("\\x").Append(((int)letter).ToString("x2", CultureInfo.InvariantCulture));
            else
                literal.Append(letter);
        }

        return literal.Append('"').ToString();
    }

    private static string Moment(DateTimeOffset at) =>
        at.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);
}
