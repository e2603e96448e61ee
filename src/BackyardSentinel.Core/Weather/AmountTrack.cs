using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// One series of an amount (rain). A momentary amount belongs to the interval that contains its stamp, an exact start
/// counting to the interval before; an amount with a period is spread evenly over it.
/// </summary>
internal sealed class AmountTrack
{
    private readonly ReadingQueue _waiting = new();
    private readonly List<ReadingQueue.Entry> _spread = [];
    private long _lastTaken = long.MinValue;

    /// <summary>Takes an amount unless it is a duplicate or its interval has been judged.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public QualityVerdict TryAdd(long time, double amount, long period, long judgedUntil)
    {
        if (time == _lastTaken)
            return QualityVerdict.Duplicate;
        if (period > 0 ? time < judgedUntil : time <= judgedUntil)
            return QualityVerdict.Late;

        return _waiting.TryAdd(time, amount, period) ? QualityVerdict.Good : QualityVerdict.Duplicate;
    }

    /// <summary>The latest time taken, UTC ticks.</summary>
    public long Latest => _waiting.Latest;

    /// <summary>How many amounts, from the first on, are taken without a question, or missing.</summary>
    public static int CountPlain(ReadOnlySpan<double> amounts)
    {
        var (low, high) = QualityControl.PlainRange(Quantity.Rain);
        for (var i = 0; i < amounts.Length; i++)
        {
            if (!(amounts[i] >= low && amounts[i] <= high) && !double.IsNaN(amounts[i]))
                return i;
        }

        return amounts.Length;
    }

    /// <summary>Takes such amounts, each later than <see cref="Latest"/> and the one before.</summary>
    /// <returns>The latest time taken, UTC ticks.</returns>
    public long AddPlain(ReadOnlySpan<long> times, ReadOnlySpan<double> amounts)
    {
        _waiting.AddBehind(times, amounts);
        return _waiting.Latest;
    }

    /// <summary>The amount in the interval; <c>null</c> when nothing was reported for it.</summary>
    public double? Take(long from, long to)
    {
        double sum = 0;
        var reported = false;
        // Of a momentary amount stamped at the exact end the time before counts; one with a period waits in the spread.
        foreach (ref readonly var entry in _waiting.TakeBefore(to + 1))
        {
            _lastTaken = entry.Time;
            if (entry.Period > 0)
            {
                _spread.Add(entry);
                continue;
            }

            sum += entry.Value;
            reported = true;
        }

        for (var i = _spread.Count - 1; i >= 0; i--)
        {
            var entry = _spread[i];
            var end = entry.Time + entry.Period;
            var share = Math.Min(end, to) - Math.Max(entry.Time, from);
            if (share > 0)
            {
                sum += share == entry.Period ? entry.Value : entry.Value * share / entry.Period;
                reported = true;
            }

            if (end <= to)
                _spread.RemoveAt(i);
        }

        return reported ? sum : null;
    }
}
