using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// One series of a level quantity, turned into time-weighted means: a value holds from its reading until the next
/// one, at most for the hold (or its own period), and not far into an outage. For a leaf-wetness series it also keeps the
/// wet state.
/// </summary>
internal sealed class LevelTrack(long hold, Outages outages, WetnessScale? scale = null)
{
    private readonly ReadingQueue waiting = new();
    // Before the first reading: a value held at the beginning of time. Ticks so small can be subtracted without overflow.
    private long start, end;
    private double value;
    private bool wet;
    private int nextOutage;

    /// <summary>Takes a reading unless it is a duplicate or its whole time has been judged.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public QualityVerdict TryAdd(long time, double newValue, long period, long judgedUntil)
    {
        if (time <= start)
            return time == start ? QualityVerdict.Duplicate : QualityVerdict.Late;
        if (time + (period > 0 ? period : hold) <= judgedUntil)
            return QualityVerdict.Late;

        return waiting.TryAdd(time, newValue, period) ? QualityVerdict.Good : QualityVerdict.Duplicate;
    }

    /// <summary>An outage has become known; no interval behind its grace has been taken yet.</summary>
    public void Interrupt(long since)
    {
        nextOutage = 0;
        if (start < since)
            end = Math.Min(end, since + Outages.Grace.Ticks);
    }

    /// <summary>Sums the held values over [from, to). Must be called with intervals in order, without a gap.</summary>
    public Sum Take(long from, long to)
    {
        double weighted = 0;
        long covered = 0, wetTicks = 0;
        var due = waiting.TakeBefore(to);
        for (var i = 0; ; i++)
        {
            var until = i < due.Length ? due[i].Time : to;
            var length = Math.Min(end, until) - Math.Max(start, from);
            if (length > 0)
            {
                weighted += value * length;
                covered += length;
                if (wet)
                    wetTicks += length;
            }

            if (i >= due.Length)
                return new Sum(weighted, covered, wetTicks);
            Hold(due[i]);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Hold(in ReadingQueue.Entry entry)
    {
        // After a hole in the data the old wet state says nothing any more.
        var wasWet = wet && entry.Time <= end;
        (start, value) = (entry.Time, entry.Value);
        end = entry.Time + (entry.Period > 0 ? entry.Period : hold);
        while (nextOutage < outages.Count && outages[nextOutage] <= entry.Time)
            nextOutage++;
        if (nextOutage < outages.Count && entry.Period == 0)
            end = Math.Min(end, outages[nextOutage] + Outages.Grace.Ticks);
        wet = scale is { } s && s.IsWet(entry.Value, wasWet);
    }

    /// <summary>Value × ticks, covered ticks and wet ticks of one interval.</summary>
    public readonly record struct Sum(double Weighted, long Covered, long WetTicks);
}
