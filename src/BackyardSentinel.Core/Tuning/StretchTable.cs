using System.Runtime.InteropServices;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tuning;

/// <summary>
/// The intervals of a planting that the rule <c>two-day</c> may count by any limits up to the widest, in runs that no shorter break
/// parts; those in which nothing could be infected are left out. It finds the windows that <see cref="TwoDayRule"/> would.
/// </summary>
internal sealed class StretchTable
{
    private readonly List<Point> _points = [];
    private readonly long _step;

    private StretchTable(TimeSpan step) => _step = step.Ticks;

    /// <summary>Limits that count each interval, and bear each break, that one of some sets does.</summary>
    /// <param name="sets">The sets, one or more.</param>
    public static TwoDayLimits Widest(IReadOnlyCollection<TwoDayLimits> sets) => new(
        sets.Min(set => set.MinTempC),
        sets.Max(set => set.MaxTempC),
        sets.Min(set => set.MinHumidityPct),
        longestBreakHours: sets.Max(set => set.LongestBreak).TotalHours);

    /// <summary>A set counts nothing, and bears no break, that the widest one does not.</summary>
    public static bool Covers(TwoDayLimits widest, TwoDayLimits limits) =>
        limits.MinTempC >= widest.MinTempC && limits.MaxTempC <= widest.MaxTempC && limits.MinHumidityPct >= widest.MinHumidityPct
        && limits.LongestBreak <= widest.LongestBreak;

    /// <summary>Goes through a recording once.</summary>
    /// <param name="recording">The recording.</param>
    /// <param name="planting">The planting, by number.</param>
    /// <param name="wet">What is wet.</param>
    /// <param name="widest">The widest limits that will be asked for.</param>
    public static StretchTable Of(Recording recording, int planting, WetSpellLimits wet, TwoDayLimits widest)
    {
        var table = new StretchTable(recording.Site.Step);
        var judge = new WetnessJudge(wet);
        var (first, matters) = (0, false);
        for (var i = 0; i < recording.Count; i++)
        {
            var weather = recording.At(i);
            var wetness = judge.Judge(weather);
            if (recording.RoofOf(planting, i) is { } roof)
                (weather, wetness) = (UnderRoof.Of(weather), roof.Wetness);
            var point = new Point(
                i,
                weather.TemperatureC is { } t ? LimitRounding.Rounded(t) : double.NaN,
                weather.HumidityPct is { } humidity ? LimitRounding.Rounded(humidity) : double.NaN,
                wetness.State == WetnessState.Wet,
                recording.Susceptibility(planting, i) > 0);
            if (!point.Counts(widest))
                continue;
            if (table._points.Count > first && table.Break(table._points[^1], point) > widest.LongestBreak.Ticks)
                table.Close(ref first, ref matters);
            table._points.Add(point);
            matters |= point.CanInfect;
        }

        table.Close(ref first, ref matters);
        return table;
    }

    /// <summary>Adds the intervals in which windows open.</summary>
    /// <param name="limits">The rule's limits, none wider than the widest.</param>
    /// <param name="level">Only windows that come to this level count.</param>
    /// <param name="opened">Takes them.</param>
    public void AddOpenings(TwoDayLimits limits, Level level, List<int> opened)
    {
        long inside = 0;
        var isOpen = false;
        Point last = default;
        foreach (ref readonly var point in CollectionsMarshal.AsSpan(_points))
        {
            if (!point.Counts(limits))
                continue;
            if (inside > 0 && Break(last, point) > limits.LongestBreak.Ticks)
            {
                Forget();
                (inside, isOpen) = (0, false);
            }

            inside += _step;
            last = point;
            if (isOpen || !point.CanInfect || Hours() < limits.LikelyHours)
                continue;
            isOpen = true;
            opened.Add(point.Interval);
        }

        Forget();

        double Hours() => (double)inside / TimeSpan.TicksPerHour;

        void Forget()
        {
            if (isOpen && level > (Hours() >= limits.SevereHours ? Level.Severe : Level.Likely))
                opened.RemoveAt(opened.Count - 1);
        }
    }

    private long Break(in Point before, in Point after) => (after.Interval - before.Interval - 1) * _step;

    /// <summary>Ends a run, and takes it out again where it could infect nothing.</summary>
    private void Close(ref int first, ref bool matters)
    {
        if (!matters)
            _points.RemoveRange(first, _points.Count - first);
        (first, matters) = (_points.Count, false);
    }

    private readonly record struct Point(int Interval, double TemperatureC, double HumidityPct, bool IsWet, bool CanInfect)
    {
        public bool Counts(TwoDayLimits limits) =>
            TemperatureC >= limits.MinTempC && TemperatureC <= limits.MaxTempC && (IsWet || HumidityPct >= limits.MinHumidityPct);
    }
}
