using System.Runtime.CompilerServices;

namespace BackyardSentinel;

/// <summary>
/// The steps of a season that wait for their turn. Nearly every reading is judged at its own time and heard in the order of these:
/// such steps lie in one ring, and two marks go over it. Sorting is for the others.
/// </summary>
internal sealed class WaitingSteps
{
    private const long Elsewhere = long.MinValue;

    // A step's number is twice that of its reading, and one more where it is judged: of one moment the lower comes first.
    private readonly PriorityQueue<SensedReading, (long At, long Number)> _others = new();
    private Entry[] _ring = new Entry[64];
    // Readings are numbered as they come; each lies in the ring, in the place of its number, until both marks are past it.
    private long _end, _heard, _judged;
    private long _lastHeard = long.MinValue, _lastJudged = long.MinValue, _reached = long.MinValue;
    private long _taken;
    private bool _isOther;
    private SensedReading _other;

    /// <summary>The step that was taken last; it holds until the next reading is put down.</summary>
    public SeasonStep Taken =>
        new(ref _isOther ? ref _other : ref At(_taken / 2).Sensed, new DateTimeOffset(_reached, TimeSpan.Zero), heard: _taken % 2 == 0);

    /// <summary>Where the next reading is to be put down, before its steps are taken up.</summary>
    public ref SensedReading Place()
    {
        if (_end - Math.Min(_heard, _judged) == _ring.Length)
            Grow();
        return ref At(_end).Sensed;
    }

    /// <summary>Takes up the steps of the reading that was put down.</summary>
    /// <param name="withHeard">That at which it is heard, too.</param>
    public void Add(bool withHeard)
    {
        ref var entry = ref At(_end);
        ref readonly var sensed = ref entry.Sensed;
        (entry.HeardAt, entry.JudgedAt) = (Elsewhere, Elsewhere);
        var (time, received) = (sensed.Reading.Ticks, sensed.ReceivedAt.UtcTicks);
        if (withHeard && received >= _lastHeard)
            entry.HeardAt = _lastHeard = received;
        else if (withHeard)
            _others.Enqueue(sensed, (received, 2 * _end));
        if (SiteWatch.Counts(sensed.Reading.Time, sensed.ReceivedAt))
        {
            if (time <= received && time >= _lastJudged)
                entry.JudgedAt = _lastJudged = time;
            else
                _others.Enqueue(sensed, (Math.Min(time, received), (2 * _end) + 1));
        }
        else
        {
            // It is refused when it comes, and that is all that it is.
            _others.Enqueue(sensed, (received, (2 * _end) + 1));
        }

        _end++;
    }

    /// <summary>Takes the next step, if it is due.</summary>
    /// <param name="upTo">Steps up to this moment are, UTC ticks.</param>
    public bool TryTake(long upTo)
    {
        while (_heard < _end && At(_heard).HeardAt == Elsewhere)
            _heard++;
        while (_judged < _end && At(_judged).JudgedAt == Elsewhere)
            _judged++;
        var (at, number) = (long.MaxValue, long.MaxValue);
        if (_heard < _end)
            (at, number) = (At(_heard).HeardAt, 2 * _heard);
        if (_judged < _end && At(_judged).JudgedAt is var judgedAt && (judgedAt < at || (judgedAt == at && (2 * _judged) + 1 < number)))
            (at, number) = (judgedAt, (2 * _judged) + 1);
        if (_others.Count > 0 && _others.TryPeek(out _, out var other) && other.CompareTo((at, number)) < 0)
        {
            if (other.At > upTo)
                return false;
            _other = _others.Dequeue();
            Take(other.At, other.Number, isOther: true);
            return true;
        }

        if (number == long.MaxValue || at > upTo)
            return false;
        (number % 2 == 0 ? ref _heard : ref _judged)++;
        Take(at, number, isOther: false);
        return true;
    }

    private void Take(long at, long number, bool isOther) => (_reached, _taken, _isOther) = (Math.Max(_reached, at), number, isOther);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private ref Entry At(long number) => ref _ring[number & (_ring.Length - 1)];

    private void Grow()
    {
        var wider = new Entry[2 * _ring.Length];
        for (var number = Math.Min(_heard, _judged); number < _end; number++)
            wider[number & (wider.Length - 1)] = At(number);
        _ring = wider;
    }

    private struct Entry
    {
        public SensedReading Sensed;
        public long HeardAt, JudgedAt;
    }
}
