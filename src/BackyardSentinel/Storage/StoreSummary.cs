using System.Globalization;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>What a store holds, in figures.</summary>
/// <param name="Readings">Readings.</param>
/// <param name="Series">Series they are of.</param>
/// <param name="First">Time of the first reading, UTC; <c>null</c>: there is none.</param>
/// <param name="Last">Time of the last reading, UTC.</param>
/// <param name="Journal">Lines of the journal.</param>
/// <param name="Messages">Messages of the outbox.</param>
public sealed record StoreSummary(long Readings, long Series, DateTimeOffset? First, DateTimeOffset? Last, long Journal, long Messages)
{
    /// <summary>The figures in words.</summary>
    /// <param name="zone">The zone of the days.</param>
    public string Text(TimeZoneInfo zone)
    {
        var span = First is { } first && Last is { } last ? $" from {Day(first)} to {Day(last)}" : "";
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{Count(Readings, "reading", "readings")} of {Count(Series, "series", "series")}{span}, "
                + $"{Count(Journal, "line", "lines")} of the journal, {Count(Messages, "message", "messages")}");

        string Day(DateTimeOffset at) => TimeZoneInfo.ConvertTime(at, zone).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

        static string Count(long count, string one, string many) =>
            string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? one : many)}");
    }

    internal static StoreSummary Of(SqliteConnection connection) =>
        connection.Rows(
            "select (select count(*) from readings), (select count(*) from series), (select min(time_ms) from readings), "
                + "(select max(time_ms) from readings), (select count(*) from journal), (select count(*) from outbox)",
            row => new StoreSummary(row.GetInt64(0), row.GetInt64(1), Moment(row, 2), Moment(row, 3), row.GetInt64(4), row.GetInt64(5)))[0];

    private static DateTimeOffset? Moment(SqliteDataReader row, int column) =>
        row.IsDBNull(column)
            ? null
            : DateTimeOffset.FromUnixTimeMilliseconds(Math.Clamp(row.GetInt64(column), StoredTime.FirstMs, StoredTime.LastMs));
}
