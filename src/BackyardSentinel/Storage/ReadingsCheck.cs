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
    private long _hour = -1, _readings, _total;

    private ReadingsCheck(IEnumerable<HourOfReadings> kept, long from, long before, long lastHour) =>
        (_kept, _from, _before, _lastHour) = (new(kept), from, before, lastHour);

    /// <summary>All of them have been looked at.</summary>
    public bool IsOver { get; private set; }

    /// <summary>Readings that are not as they were written.</summary>
    public long Wrong { get; private set; }

    /// <summary>Readings that were written down and are not there.</summary>
    public long Missing { get; private set; }

    /// <summary>Hours whose readings do not come to what was written down, though none is missing.</summary>
    public long OddHours { get; private set; }

    /// <summary>The readings in parts, none of them looked at yet.</summary>
    /// <param name="connection">The file.</param>
    /// <param name="firstHour">The first hour that is looked at, hours since 1970 UTC.</param>
    /// <param name="mostParts">No more parts than these.</param>
    /// <exception cref="SqliteException">What is written down of their hours cannot be read.</exception>
    public static List<ReadingsCheck> Parts(SqliteConnection connection, long firstHour, int mostParts = MostParts)
    {
        var kept = connection.Rows(
            "select hour, readings, total from hours where hour >= $a order by hour",
            row => new HourOfReadings(row.GetInt64(0), row.GetInt64(1), row.GetInt64(2)),
            firstHour);
        var last = HourSums.LastIn(connection);
        var readings = kept.Sum(hour => Math.Clamp(hour.Readings, 0, int.MaxValue));
        var most = Math.Clamp(readings / FewestOfAPart, 1, mostParts);
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
        using (var command = connection.Command(
            $"select {ReadingRow.Columns} from readings where time_ms >= $a and time_ms < $b order by time_ms",
            StartMs(_from),
            StartMs(_before)))
        using (var row = command.ExecuteReader())
        {
            for (var more = row.Read(); more; more = ReadingRow.Next(row))
                Note(ReadingRow.Of(row, out var sum), sum);
        }

        End();
    }

    /// <summary>Looks at the next of them; they come in the order of their times.</summary>
    /// <param name="reading">The reading; one of an hour before the first is passed over.</param>
    /// <param name="sum">The sum that stands in its row.</param>
    public void Note(in StoredReading reading, long sum)
    {
        var hour = HourSums.HourOf(reading.TimeMs);
        if (hour < _from)
            return;
        if (sum != RowSum.Of(reading))
            Wrong++;
        if (hour != _hour)
        {
            Close();
            (_hour, _readings, _total) = (hour, 0, 0);
        }

        (_readings, _total) = (_readings + 1, _total + sum);
    }

    /// <summary>That was the last of them.</summary>
    public void End()
    {
        Close();
        Missing += _kept.Sum(rest => rest.Readings);
        IsOver = true;
    }

    /// <summary>The start of an hour, ms since 1970 UTC; one that is damaged may be of any year.</summary>
    private static long StartMs(long hour) => hour > HourSums.HourOf(StoredTime.LastMs) ? long.MaxValue : hour * HourSums.HourMs;

    /// <summary>All readings of the hour have been seen.</summary>
    private void Close()
    {
        if (_readings == 0)
            return;
        while (_kept.TryPeek(out var before) && before.Hour < _hour)
            Missing += _kept.Dequeue().Readings;
        if (_kept.TryPeek(out var same) && same.Hour == _hour)
        {
            _kept.Dequeue();
            if (same.Readings > _readings)
                Missing += same.Readings - _readings;
            else if (same.Readings != _readings || same.Total != _total)
                OddHours++;
        }
        else if (_hour <= _lastHour)
        {
            OddHours++;
        }
    }

    /// <summary>What is written down of an hour.</summary>
    private readonly record struct HourOfReadings(long Hour, long Readings, long Total);
}
