using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Looks a part of a store's readings over: each row and each hour must come to what was written down for it. They are millions, so
/// that several cores take a part each.
/// </summary>
internal sealed class ReadingsCheck
{
    /// <summary>Fewer are looked over sooner than threads are woken.</summary>
    private const long FewestOfAPart = 10_000;

    /// <summary>So many that no core waits long for the last one.</summary>
    private const int MostParts = 8;

    private readonly Queue<HourOfReadings> _kept;
    private readonly long _from, _before, _lastHour;

    private ReadingsCheck(IEnumerable<HourOfReadings> kept, long from, long before, long lastHour) =>
        (_kept, _from, _before, _lastHour) = (new(kept), from, before, lastHour);

    /// <summary>The latest stamp of arrival among them, µs since 1970 UTC; 0: there is none.</summary>
    public long NewestUs { get; private set; }

    /// <summary>Readings that are not as they were written.</summary>
    public long Wrong { get; private set; }

    /// <summary>Readings that were written down and are not there.</summary>
    public long Missing { get; private set; }

    /// <summary>Hours whose readings do not come to what was written down, though none is missing.</summary>
    public long OddHours { get; private set; }

    /// <summary>The readings in parts, none of them looked at yet.</summary>
    /// <param name="connection">The file.</param>
    /// <param name="firstHour">The first hour that is looked at, hours since 1970 UTC.</param>
    /// <exception cref="SqliteException">What is written down of their hours cannot be read.</exception>
    public static List<ReadingsCheck> Parts(SqliteConnection connection, long firstHour)
    {
        var kept = connection.Rows(
            "select hour, readings, total from hours where hour >= $a order by hour",
            row => new HourOfReadings(row.GetInt64(0), row.GetInt64(1), row.GetInt64(2)),
            firstHour);
        var last = HourSums.LastIn(connection);
        var readings = kept.Sum(hour => Math.Clamp(hour.Readings, 0, int.MaxValue));
        var most = Math.Clamp(readings / FewestOfAPart, 1, MostParts);
        List<ReadingsCheck> parts = [];
        var (from, count) = (firstHour, 0L);
        List<HourOfReadings> hours = [];
        foreach (var hour in kept)
        {
            if (parts.Count < most - 1 && count > readings / most)
            {
                parts.Add(new ReadingsCheck(hours, from, hour.Hour, last));
                (hours, from, count) = ([], hour.Hour, 0);
            }

            hours.Add(hour);
            count += Math.Clamp(hour.Readings, 0, int.MaxValue);
        }

        parts.Add(new ReadingsCheck(hours, from, long.MaxValue, last));
        return parts;
    }

    /// <summary>Looks them over, by a connection of its own.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="SqliteException">They cannot be read.</exception>
    public void Look(string path)
    {
        using var connection = StoreReading.Connect(path);
        long readings = 0, total = 0, hour = -1;
        using (var command = connection.Command(
            $"select {ReadingRow.Columns} from readings where time_ms >= $a and time_ms < $b order by time_ms",
            StartMs(_from),
            StartMs(_before)))
        using (var row = command.ExecuteReader())
        {
            for (var more = row.Read(); more; more = ReadingRow.Next(row))
            {
                var reading = ReadingRow.Of(row, out var sum);
                if (sum != RowSum.Of(reading))
                    Wrong++;
                if (reading.ReceivedUs > NewestUs && StoredTime.IsMicroseconds(reading.ReceivedUs))
                    NewestUs = reading.ReceivedUs;
                if (HourSums.HourOf(reading.TimeMs) is var next && next != hour)
                {
                    Close(hour, readings, total);
                    (hour, readings, total) = (next, 0, 0);
                }

                (readings, total) = (readings + 1, total + sum);
            }
        }

        Close(hour, readings, total);
        Missing += _kept.Sum(rest => rest.Readings);
    }

    /// <summary>The start of an hour, ms since 1970 UTC; one that is damaged may be of any year.</summary>
    private static long StartMs(long hour) => hour > HourSums.HourOf(StoredTime.LastMs) ? long.MaxValue : hour * HourSums.HourMs;

    /// <summary>All readings of an hour have been seen.</summary>
    private void Close(long hour, long readings, long total)
    {
        if (readings == 0)
            return;
        while (_kept.TryPeek(out var before) && before.Hour < hour)
            Missing += _kept.Dequeue().Readings;
        if (_kept.TryPeek(out var same) && same.Hour == hour)
        {
            _kept.Dequeue();
            if (same.Readings > readings)
                Missing += same.Readings - readings;
            else if (same.Readings != readings || same.Total != total)
                OddHours++;
        }
        else if (hour <= _lastHour)
        {
            OddHours++;
        }
    }

    /// <summary>What is written down of an hour.</summary>
    private readonly record struct HourOfReadings(long Hour, long Readings, long Total);
}
