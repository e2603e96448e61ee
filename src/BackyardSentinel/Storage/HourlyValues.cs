using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>What is left of a series' readings of one UTC clock hour once they have grown old.</summary>
/// <param name="Series">The series' number in the store.</param>
/// <param name="Hour">The hour, hours since 1970 UTC.</param>
/// <param name="Low">The lowest reading, in the quantity's unit.</param>
/// <param name="Mean">The mean of the readings, to three decimals.</param>
/// <param name="High">The highest reading.</param>
/// <param name="Total">The sum of the readings, to three decimals: the hour's rain, for one.</param>
/// <param name="Readings">How many there were.</param>
/// <param name="Quarters">In how many of the hour's quarters there was one, 1 to 4.</param>
public readonly record struct StoredHour(
    int Series, long Hour, double Low, double Mean, double High, double Total, long Readings, int Quarters)
{
    /// <summary>Start of the hour, UTC.</summary>
    public DateTimeOffset Start => DateTimeOffset.FromUnixTimeMilliseconds(Hour * HourSums.HourMs);
}

/// <summary>
/// Turns readings that have grown old into hourly values, a piece at a time and a transaction a piece: at every moment a
/// reading is either there itself or in its hour. A service is not held up by a piece, nor a memory card worn by it.
/// </summary>
internal static class HourlyValues
{
    private const string Columns = "series, hour, low, mean, high, total, readings, quarters";

    /// <summary>A piece holds whole hours up to about so many readings, and of an hour at most so many series.</summary>
    private const int PieceReadings = 2_000, PieceSeries = 200;

    /// <summary>Takes the oldest piece.</summary>
    /// <param name="connection">The store's own connection.</param>
    /// <param name="beforeMs">Readings of earlier times have grown old; the start of an hour, ms since 1970 UTC.</param>
    /// <param name="taken">What a series' value counts as; <c>null</c>: it cannot be, and is left out.</param>
    /// <returns>Readings that were taken up.</returns>
    public static int Take(SqliteConnection connection, long beforeMs, Func<int, double, double?> taken)
    {
        using var transaction = connection.BeginTransaction();
        var count = 0;
        while (count < PieceReadings && OldestMs(connection) is { } oldest && oldest < beforeMs)
        {
            var hour = HourSums.HourOf(oldest);
            var lastSeries = (long)connection.Value(
                "select max(series) from (select distinct series from readings where time_ms >= $a and time_ms "
                    + "< $b order by series limit $c)",
                hour * HourSums.HourMs,
                (hour + 1) * HourSums.HourMs,
                PieceSeries)!;
            count += TakeHour(connection, hour, lastSeries, taken);
        }

        transaction.Commit();
        return count;
    }

    /// <summary>The time of the oldest reading, ms since 1970 UTC; <c>null</c>: there is none.</summary>
    public static long? OldestMs(SqliteConnection connection) =>
        connection.Value("select min(time_ms) from readings where time_ms >= $a", StoredTime.FirstMs) as long?;

    /// <summary>The hours of a time that are as they were written, by hour and series.</summary>
    /// <param name="connection">The store.</param>
    /// <param name="fromHour">The first hour.</param>
    /// <param name="toHour">The hour after the last.</param>
    public static IEnumerable<StoredHour> Read(SqliteConnection connection, long fromHour, long toHour)
    {
        var sum = StoreTables.All.First(table => table.Name == "hourly").SumOf();
        using var command = connection.Command(
            $"select {Columns} from hourly where hour >= $a and hour < $b and sum is {sum} order by hour, series",
            fromHour,
            toHour);
        using var row = command.ExecuteReader();
        while (row.Read())
            yield return Of(row);
    }

    /// <summary>The end of the last hour of which there is a value, hours since 1970 UTC; <c>null</c>: there is none.</summary>
    public static long? Until(SqliteConnection connection) =>
        connection.Value($"select max(hour) + 1 from hourly where hour < {StoredTime.LastMs / HourSums.HourMs}") as long?;

    private static int TakeHour(SqliteConnection connection, long hour, long lastSeries, Func<int, double, double?> taken)
    {
        const string These = "from readings where time_ms >= $a and time_ms < $b and series <= $c";
        var (fromMs, toMs) = (hour * HourSums.HourMs, (hour + 1) * HourSums.HourMs);
        var rows = connection.Rows(
            $"select {ReadingRow.Columns} {These}",
            row => (Reading: ReadingRow.Of(row, out var sum), Sum: sum),
            fromMs,
            toMs,
            lastSeries);
        var sound = rows.Where(row => RowSum.Holds(row.Reading, row.Sum)).Select(row => row.Reading);
        foreach (var series in sound.GroupBy(reading => reading.Series))
        {
            List<(long TimeMs, double Value)> values =
                [
                    .. series.Select(one => (one.TimeMs, taken(one.Series, one.Value)))
                    .Where(one => one.Item2 is not null)
                    .Select(one => (one.TimeMs, one.Item2!.Value)),
                ];
            if (values.Count > 0)
                Keep(connection, Of(series.Key, hour, values));
        }

        connection.Run($"delete {These}", fromMs, toMs, lastSeries);
        // What the hour's readings come to tells of those that are still there; of an hour that is over, nothing.
        connection.Run(
            "update hours set readings = readings - $b, total = total - $c where hour = $a", hour, rows.Count, rows.Sum(row => row.Sum));
        connection.Run(
            "delete from hours where hour = $a and not exists (select 1 from readings where time_ms >= $b and time_ms < $c)",
            hour,
            fromMs,
            toMs);
        return rows.Count;
    }

    private static StoredHour Of(int series, long hour, List<(long TimeMs, double Value)> values) =>
        new(
            series,
            hour,
            values.Min(one => one.Value),
            Math.Round(values.Average(one => one.Value), 3),
            values.Max(one => one.Value),
            Math.Round(values.Sum(one => one.Value), 3),
            values.Count,
            values.Select(one => one.TimeMs / (HourSums.HourMs / 4)).Distinct().Count());

    /// <summary>A reading that comes years late joins its hour.</summary>
    private static void Keep(SqliteConnection connection, in StoredHour hour)
    {
        var all = connection.Rows(
            $"select {Columns} from hourly where series = $a and hour = $b", Of, hour.Series, hour.Hour) is [var before]
            ? Joined(before, hour)
            : hour;
        connection.Run(
            $"insert into hourly({Columns}) values($a, $b, $c, $d, $e, $f, $g, $h) on conflict(hour, "
                + "series) do update set low = excluded.low, mean = excluded.mean, high = excluded.high, total = excluded.total, "
                + "readings = excluded.readings, quarters = excluded.quarters",
            all.Series,
            all.Hour,
            ReadingRow.Packed(all.Low),
            ReadingRow.Packed(all.Mean),
            ReadingRow.Packed(all.High),
            ReadingRow.Packed(all.Total),
            all.Readings,
            all.Quarters);
    }

    private static StoredHour Joined(in StoredHour one, in StoredHour other) =>
        one with
        {
            Low = Math.Min(one.Low, other.Low),
            Mean = Math.Round(((one.Mean * one.Readings) + (other.Mean * other.Readings)) / (one.Readings + other.Readings), 3),
            High = Math.Max(one.High, other.High),
            Total = Math.Round(one.Total + other.Total, 3),
            Readings = one.Readings + other.Readings,
            Quarters = Math.Max(one.Quarters, other.Quarters),
        };

    private static StoredHour Of(SqliteDataReader row) =>
        new(
            (int)row.GetInt64(0),
            row.GetInt64(1),
            ReadingRow.Value(row, 2),
            ReadingRow.Value(row, 3),
            ReadingRow.Value(row, 4),
            ReadingRow.Value(row, 5),
            row.GetInt64(6),
            (int)row.GetInt64(7));
}
