using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Looks the readings of a store over: each row and each hour must come to what was written down for it. They are millions, so
/// several cores take a part each, over a connection of its own.
/// </summary>
internal sealed class ReadingsCheck
{
    /// <summary>Fewer are looked over sooner than threads are woken.</summary>
    private const long FewestOfAPart = 10_000;

    /// <summary>More hold each other up at the file.</summary>
    private const int MostParts = 4;

    private readonly Queue<HourOfReadings> _kept;
    private readonly long _lastHour;

    private ReadingsCheck(IEnumerable<HourOfReadings> kept, long lastHour) => (_kept, _lastHour) = (new(kept), lastHour);

    /// <summary>The latest stamp of arrival, µs since 1970 UTC; 0: there is none.</summary>
    public long NewestUs { get; private set; }

    /// <summary>Readings that are not as they were written.</summary>
    public long Wrong { get; private set; }

    /// <summary>Readings that were written down and are not there.</summary>
    public long Missing { get; private set; }

    /// <summary>Hours whose readings do not come to what was written down, though none is missing.</summary>
    public long OddHours { get; private set; }

    /// <summary>Looks them over.</summary>
    /// <param name="connection">The file.</param>
    /// <param name="firstHour">The first hour that is looked at, hours since 1970 UTC.</param>
    /// <exception cref="SqliteException">They cannot be read.</exception>
    public static ReadingsCheck Of(SqliteConnection connection, long firstHour)
    {
        var kept = connection.Rows(
            "select hour, readings, total from hours where hour >= $a order by hour",
            row => new HourOfReadings(row.GetInt64(0), row.GetInt64(1), row.GetInt64(2)),
            firstHour);
        var last = HourSums.LastIn(connection);
        List<(ReadingsCheck Part, long From, long Before)> parts = [];
        foreach (var (hours, from, before) in Parted(kept, firstHour))
            parts.Add((new ReadingsCheck(hours, last), from, before));
        var others = parts.Skip(1).Select(one => Task.Run(() => one.Part.Beside(connection.DataSource, one.From, one.Before))).ToArray();
        try
        {
            parts[0].Part.Look(connection, parts[0].From, parts[0].Before);
        }
        finally
        {
            ((IAsyncResult)Task.WhenAll(others)).AsyncWaitHandle.WaitOne();
        }

        foreach (var other in others)
            other.GetAwaiter().GetResult();
        var whole = parts[0].Part;
        foreach (var (part, _, _) in parts.Skip(1))
            whole.Add(part);
        return whole;
    }

    /// <summary>The hours in parts of about as many readings.</summary>
    private static IEnumerable<(List<HourOfReadings> Hours, long From, long Before)> Parted(List<HourOfReadings> kept, long firstHour)
    {
        var readings = kept.Sum(hour => Math.Clamp(hour.Readings, 0, int.MaxValue));
        var parts = Math.Clamp(readings / FewestOfAPart, 1, Math.Min(MostParts, Environment.ProcessorCount));
        var (from, count, left) = (firstHour, 0L, parts);
        List<HourOfReadings> hours = [];
        foreach (var hour in kept)
        {
            if (left > 1 && count > readings / parts)
            {
                yield return (hours, from, hour.Hour);
                (hours, from, count, left) = ([], hour.Hour, 0, left - 1);
            }

            hours.Add(hour);
            count += Math.Clamp(hour.Readings, 0, int.MaxValue);
        }

        yield return (hours, from, long.MaxValue);
    }

    private void Beside(string path, long from, long before)
    {
        using var connection = StoreReading.Connect(path);
        Look(connection, from, before);
    }

    private void Look(SqliteConnection connection, long from, long before)
    {
        long readings = 0, total = 0, hour = -1, newestUs = 0;
        using (var command = connection.Command(
            $"select {ReadingRow.Columns} from readings where time_ms >= $a and time_ms < $b order by time_ms",
            StartMs(from),
            StartMs(before)))
        using (var row = command.ExecuteReader())
        {
            for (var more = row.Read(); more; more = ReadingRow.Next(row))
            {
                var reading = ReadingRow.Of(row, out var sum);
                if (sum != RowSum.Of(reading))
                    Wrong++;
                if (reading.ReceivedUs > newestUs && StoredTime.IsMicroseconds(reading.ReceivedUs))
                    newestUs = reading.ReceivedUs;
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
        NewestUs = newestUs;
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

    private void Add(ReadingsCheck other)
    {
        Wrong += other.Wrong;
        Missing += other.Missing;
        OddHours += other.OddHours;
        NewestUs = Math.Max(NewestUs, other.NewestUs);
    }

    /// <summary>What is written down of an hour.</summary>
    private readonly record struct HourOfReadings(long Hour, long Readings, long Total);
}
