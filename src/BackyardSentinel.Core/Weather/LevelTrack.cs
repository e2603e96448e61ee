using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// One series of a level quantity, turned into time-weighted means: a value holds from its reading until the next
/// one, at most for the hold (or its own period), and not far into an outage. For a leaf-wetness series it also keeps the
/// wet state. A leap that no weather makes is left out; whether it is one is judged in the order of time.
/// </summary>
internal sealed class LevelTrack(Quantity quantity, long hold, Outages outages, WetnessScale? scale = null)
{
    // As they come, for the word on each reading; and in order, for what counts.
    private LeapGate _coming = new(quantity), _counting = new(quantity);
    private readonly (double Low, double High) _plain = QualityControl.PlainRange(quantity);
    private long _comingTime = long.MinValue / 2;
    private double _comingValue;
    private readonly ReadingQueue _waiting = new();
    // Before the first reading: a value held at the beginning of time. Ticks so small can be subtracted without overflow.
    private long _start, _end;
    private double _value;
    private double _wetShare;
    private int _nextOutage;

    /// <summary>Takes a reading unless it is a duplicate or its whole time has been judged.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public QualityVerdict TryAdd(long time, double newValue, long period, long judgedUntil)
    {
        if (time <= _start)
            return time == _start ? QualityVerdict.Duplicate : QualityVerdict.Late;
        if (time + (period > 0 ? period : hold) <= judgedUntil)
            return QualityVerdict.Late;

        if (!_waiting.TryAdd(time, newValue, period))
            return QualityVerdict.Duplicate;
        if (!_coming.Takes(_comingTime, _comingValue, time, newValue))
            return QualityVerdict.Leap;
        (_comingTime, _comingValue) = (time, newValue);
        return QualityVerdict.Good;
    }

    /// <summary>The latest time taken, UTC ticks.</summary>
    public long Latest => _waiting.Latest;

    /// <summary>How many values, from the first on, are taken without a question, or missing.</summary>
    public int CountPlain(ReadOnlySpan<double> values)
    {
        var last = _comingValue;
        for (var i = 0; i < values.Length; i++)
        {
            var value = values[i];
            if (value >= _plain.Low && value <= _plain.High && _coming.IsNear(last, value))
                last = value;
            else if (!double.IsNaN(value))
                return i;
        }

        return values.Length;
    }

    /// <summary>Takes such values, each later than <see cref="Latest"/> and the one before.</summary>
    /// <returns>The latest time taken, UTC ticks.</returns>
    public long AddPlain(ReadOnlySpan<long> times, ReadOnlySpan<double> values)
    {
        if (_waiting.AddBehind(times, values) is var last && !double.IsNaN(last))
            (_comingTime, _comingValue) = (_waiting.Latest, last);
        return _waiting.Latest;
    }

    /// <summary>An outage has become known; no interval behind its grace has been taken yet.</summary>
    public void Interrupt(long since)
    {
        _nextOutage = 0;
        if (_start <= since)
            _end = Math.Min(_end, since + Outages.Grace.Ticks);
    }

    /// <summary>Sums the held values over [from, to). Must be called with intervals in order, without a gap.</summary>
    public Sum Take(long from, long to)
    {
        var due = _waiting.TakeBefore(to);
        if (scale is null && _nextOutage >= outages.Count)
            return TakePlain(due, from, to);
        double weighted = 0;
        long covered = 0, wetTicks = 0;
        for (var i = 0; ; i++)
        {
            if (i < due.Length && !_counting.Takes(_start, _value, due[i].Time, due[i].Value))
                continue;
            var until = i < due.Length ? due[i].Time : to;
            var length = Math.Min(_end, until) - Math.Max(_start, from);
            if (length > 0)
            {
                weighted += _value * length;
                covered += length;
                if (_wetShare > 0)
                    wetTicks += _wetShare < 1 ? (long)Math.Round(length * _wetShare) : length;
            }

            if (i >= due.Length)
                return new Sum(weighted, covered, wetTicks);
            Hold(due[i]);
        }
    }

    /// <summary>The same where there is no wetness to tell and no outage to come: most of a season.</summary>
    private Sum TakePlain(ReadOnlySpan<ReadingQueue.Entry> due, long from, long to)
    {
        double weighted = 0;
        long covered = 0;
        var (start, end, value) = (_start, _end, _value);
        foreach (ref readonly var entry in due)
        {
            if (!_counting.Takes(start, value, entry.Time, entry.Value))
                continue;
            Cover(entry.Time);
            (start, value) = (entry.Time, entry.Value);
            end = start + (entry.Period > 0 ? entry.Period : hold);
        }

        Cover(to);
        (_start, _end, _value) = (start, end, value);
        return new Sum(weighted, covered, 0);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        void Cover(long until)
        {
            var length = Math.Min(end, until) - Math.Max(start, from);
            if (length <= 0)
                return;
            weighted += value * length;
            covered += length;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Hold(in ReadingQueue.Entry entry)
    {
        // After a hole in the data the old wet state says nothing any more.
        var wasWet = _wetShare > 0 && entry.Time <= _end;
        (_start, _value) = (entry.Time, entry.Value);
        _end = entry.Time + (entry.Period > 0 ? entry.Period : hold);
        if (_nextOutage < outages.Count)
            Cut(entry);
        _wetShare = scale is { } s ? s.WetShare(entry.Value, wasWet) : 0;
    }

    /// <summary>An outage to come cuts how long a momentary value holds.</summary>
    private void Cut(in ReadingQueue.Entry entry)
    {
        while (_nextOutage < outages.Count && outages[_nextOutage] < entry.Time)
            _nextOutage++;
        if (_nextOutage < outages.Count && entry.Period == 0)
            _end = Math.Min(_end, outages[_nextOutage] + Outages.Grace.Ticks);
    }

    /// <summary>Value × ticks, covered ticks and wet ticks of one interval.</summary>
    public readonly record struct Sum(double Weighted, long Covered, long WetTicks);
}
