namespace BackyardSentinel.Weather;

/// <summary>Readings of one series that wait for their interval, sorted by time whatever their order of arrival.</summary>
internal sealed class ReadingQueue
{
    private Entry[] entries = new Entry[16];
    private int head, tail;

    public bool IsEmpty => head == tail;

    public ref readonly Entry First => ref entries[head];

    public void RemoveFirst() => head++;

    /// <summary>Adds a reading; <c>false</c> when one of this very time waits already.</summary>
    public bool TryAdd(long time, double value, long period)
    {
        if (head == tail)
            head = tail = 0;
        var at = tail;
        while (at > head && entries[at - 1].Time >= time)
        {
            if (entries[at - 1].Time == time)
                return false;
            at--;
        }

        if (tail == entries.Length)
            at -= MakeRoom();

        if (at < tail) // Readings nearly always arrive in order.
            Array.Copy(entries, at, entries, at + 1, tail - at);
        entries[at] = new Entry(time, value, period);
        tail++;
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
