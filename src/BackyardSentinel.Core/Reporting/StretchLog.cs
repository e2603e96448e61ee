namespace BackyardSentinel.Reporting;

/// <summary>What held from when on: only the turns are kept, so that a year of steady weather costs nothing.</summary>
internal sealed class StretchLog<T>
{
    private readonly List<(long From, T Value)> _turns = [];

    /// <summary>From a moment on this holds. What was noted from then on is taken back: some things are known late.</summary>
    public void Turn(DateTimeOffset from, T value)
    {
        if (Holds(value))
            return;
        while (_turns.Count > 0 && _turns[^1].From >= from.UtcTicks)
            _turns.RemoveAt(_turns.Count - 1);
        if (!Holds(value))
            _turns.Add((from.UtcTicks, value));
    }

    /// <summary>This holds now.</summary>
    public bool Holds(T value) => _turns.Count > 0 && EqualityComparer<T>.Default.Equals(_turns[^1].Value, value);

    /// <summary>The stretches of a time, cut at its ends.</summary>
    /// <param name="from">From when, UTC.</param>
    /// <param name="to">Until when, UTC; what holds now holds up to it.</param>
    public IReadOnlyList<Stretch<T>> Between(DateTimeOffset from, DateTimeOffset to)
    {
        List<Stretch<T>> found = [];
        for (var i = First(from.UtcTicks); i < _turns.Count && _turns[i].From < to.UtcTicks; i++)
        {
            var begins = Math.Max(_turns[i].From, from.UtcTicks);
            var ends = i + 1 < _turns.Count ? Math.Min(_turns[i + 1].From, to.UtcTicks) : to.UtcTicks;
            if (begins < ends)
                found.Add(new(new DateTimeOffset(begins, TimeSpan.Zero), new DateTimeOffset(ends, TimeSpan.Zero), _turns[i].Value));
        }

        return found;
    }

    /// <summary>The last turn up to a moment; the first one where that is later.</summary>
    private int First(long ticks)
    {
        var (low, high) = (0, _turns.Count - 1);
        while (low < high)
        {
            var middle = (low + high + 1) / 2;
            (low, high) = _turns[middle].From <= ticks ? (middle, high) : (low, middle - 1);
        }

        return low;
    }
}
