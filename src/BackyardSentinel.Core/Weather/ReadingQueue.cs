using System.Runtime.CompilerServices;

namespace BackyardSentinel.Weather;

/// <summary>Readings of one series that wait for their interval, sorted by time whatever their order of arrival.</summary>
internal sealed class ReadingQueue
{
    private const int FewWaiting = 64;

    private Entry[] _entries = new Entry[32];
    private int _head, _tail;
    private long _latest = long.MinValue;

    /// <summary>Adds a reading; <c>false</c> when one of this very time waits already.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool TryAdd(long time, double value, long period)
    {
        // Readings nearly always arrive in order.
        if (time <= _latest || _tail == _entries.Length)
            return TryInsert(time, value, period);
        _latest = time;
        _entries[_tail++] = new Entry(time, value, period);
        return true;
    }

    /// <summary>The latest time that waits or has waited, UTC ticks.</summary>
    public long Latest => _latest;

    /// <summary>Adds momentary readings behind all others.</summary>
    /// <param name="times">Their times, each later than <see cref="Latest"/> and the one before.</param>
    /// <param name="values">Their values; NaN: there is none.</param>
    /// <returns>The last value that was added; NaN: none was.</returns>
    public double AddBehind(ReadOnlySpan<long> times, ReadOnlySpan<double> values)
    {
        while (_tail + times.Length > _entries.Length)
            MakeRoom();
        var (entries, tail, last) = (_entries, _tail, double.NaN);
        for (var i = 0; i < times.Length; i++)
        {
            if (double.IsNaN(values[i]))
                continue;
            last = values[i];
            entries[tail++] = new Entry(times[i], last, 0);
        }

        if (tail > _tail)
            _latest = entries[tail - 1].Time;
        _tail = tail;
        return last;
    }

    /// <summary>
    /// Removes and gives the readings before a time, in order. The span holds until the next reading is added.
    /// </summary>
    public ReadOnlySpan<Entry> TakeBefore(long time)
    {
        var first = _head;
        // Nearly always all are but for the last ones.
        if (_tail - _head <= FewWaiting)
        {
            for (_head = _tail; _head > first && _entries[_head - 1].Time >= time;)
                _head--;
        }
        else
        {
            while (_head < _tail && _entries[_head].Time < time)
                _head++;
        }

        return _entries.AsSpan(first, _head - first);
    }

    private bool TryInsert(long time, double value, long period)
    {
        var at = _tail;
        while (at > _head && _entries[at - 1].Time >= time)
        {
            if (_entries[at - 1].Time == time)
                return false;
            at--;
        }

        if (_tail == _entries.Length)
            at -= MakeRoom();

        Array.Copy(_entries, at, _entries, at + 1, _tail - at);
        _entries[at] = new Entry(time, value, period);
        _tail++;
        _latest = Math.Max(_latest, time);
        return true;
    }

    /// <summary>
    /// Moves the waiting readings to the front, or doubles the array where that would soon be to do again; gives how far they moved.
    /// </summary>
    private int MakeRoom()
    {
        var shift = _head;
        var target = _head < _entries.Length / 4 * 3 ? new Entry[_entries.Length * 2] : _entries;
        Array.Copy(_entries, _head, target, 0, _tail - _head);
        _entries = target;
        _tail -= shift;
        _head = 0;
        return shift;
    }

    public readonly record struct Entry(long Time, double Value, long Period);
}
