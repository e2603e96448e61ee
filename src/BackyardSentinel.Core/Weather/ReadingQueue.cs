using System.Runtime.CompilerServices;

namespace BackyardSentinel.Weather;

/// <summary>Readings of one series that wait for their interval, sorted by time whatever their order of arrival.</summary>
internal sealed class ReadingQueue
{
    private Entry[] entries = new Entry[64];
    private int head, tail;
    private long latest = long.MinValue;

    /// <summary>Adds a reading; <c>false</c> when one of this very time waits already.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool TryAdd(long time, double value, long period)
    {
        // Readings nearly always arrive in order.
        if (time <= latest || tail == entries.Length)
            return TryInsert(time, value, period);
        latest = time;
        entries[tail++] = new Entry(time, value, period);
        return true;
    }

    /// <summary>
    /// Removes and gives the readings before a time, in order. The span holds until the next reading is added.
    /// </summary>
    public ReadOnlySpan<Entry> TakeBefore(long time)
    {
        var first = head;
        while (head < tail && entries[head].Time < time)
            head++;
        return entries.AsSpan(first, head - first);
    }

    private bool TryInsert(long time, double value, long period)
    {
        var at = tail;
        while (at > head && entries[at - 1].Time >= time)
        {
            if (entries[at - 1].Time == time)
                return false;
            at--;
        }

        if (tail == entries.Length)
            at -= MakeRoom();

        Array.Copy(entries, at, entries, at + 1, tail - at);
        entries[at] = new Entry(time, value, period);
        tail++;
        latest = Math.Max(latest, time);
        return true;
    }

    /// <summary>Moves the waiting readings to the front, or doubles the array; gives how far they moved.</summary>
    private int MakeRoom()
    {
        var shift = head;
        var target = head < entries.Length / 2 ? new Entry[entries.Length * 2] : entries;
        Array.Copy(entries, head, target, 0, tail - head);
        entries = target;
        tail -= shift;
        head = 0;
        return shift;
    }

    public readonly record struct Entry(long Time, double Value, long Period);
}
