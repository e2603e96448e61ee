using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>What one series has said in the last 24 clock hours, an hour a bin, and its last amounts of rain.</summary>
internal sealed class SeriesPicture(Quantity quantity, int rank)
{
    public const int Hours = 24;

    /// <summary>So many amounts of rain are looked at.</summary>
    public const int AmountsKept = 12;

    private readonly Hour[] _bins = [.. Enumerable.Range(0, Hours).Select(_ => new Hour())];
    private readonly List<Hour> _day = new(Hours);
    private Hour? _running;
    private long _runningSince;

    public Quantity Quantity => quantity;

    public int Rank => rank;

    /// <summary>The latest clock hour of which something came, counted from the beginning of time.</summary>
    public long Latest { get; private set; } = long.MinValue;

    /// <summary>The last amounts above 0, oldest first.</summary>
    public List<double> Amounts { get; } = [];

    /// <summary>Of leaf wetness: the state after the last hour that was looked at.</summary>
    public bool IsWet { get; set; }

    /// <summary>The doubt that stands, with the hour in which it was last confirmed.</summary>
    public (SeriesDoubt Doubt, long Confirmed)? Standing { get; set; }

    /// <summary>The bin of the latest hour, if a moment, in UTC ticks, lies in it: nearly every reading does.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Hour? Running(long ticks) => (ulong)(ticks - _runningSince) < TimeSpan.TicksPerHour ? _running : null;

    /// <summary>The clock hour of that bin, from and to, UTC ticks; nothing lies in it before the first reading.</summary>
    public (long From, long To) RunningHour => _running is null ? (0, 0) : (_runningSince, _runningSince + TimeSpan.TicksPerHour);

    /// <summary>The bin of an hour; one that is long past is lost.</summary>
    public Hour At(long hour)
    {
        var bin = _bins[hour % Hours];
        if (bin.Number < hour)
            bin.Begin(hour);
        if (hour > Latest)
            (Latest, _running, _runningSince) = (hour, bin, hour * TimeSpan.TicksPerHour);
        return bin;
    }

    /// <summary>Rain was told.</summary>
    public void NoteAmount(double mm)
    {
        if (Amounts.Count == AmountsKept)
            Amounts.RemoveAt(0);
        Amounts.Add(mm);
    }

    /// <summary>The hour, if something came of it.</summary>
    public Hour? Of(long hour) => _bins[hour % Hours] is { IsEmpty: false } bin && bin.Number == hour ? bin : null;

    /// <summary>
    /// The hours of which something came among the 24 that end with the latest, in order. The list is the same each time:
    /// it is filled anew, since a season asks for it each hour of each series.
    /// </summary>
    public List<Hour> Day()
    {
        _day.Clear();
        var first = Latest - Hours + 1;
        var at = (int)(first % Hours);
        for (var i = 0; i < Hours; i++)
        {
            if (_bins[at] is { IsEmpty: false } bin && bin.Number >= first)
                _day.Add(bin);
            at = at == Hours - 1 ? 0 : at + 1;
        }

        return _day;
    }

    /// <summary>One clock hour.</summary>
    public sealed class Hour
    {
        public long Number { get; private set; }

        public int Count { get; private set; }

        public int Refused { get; private set; }

        public double Min { get; private set; }

        public double Max { get; private set; }

        public double Sum { get; private set; }

        public double RefusedMin { get; private set; }

        public double RefusedMax { get; private set; }

        /// <summary>With the humidity of that time the air would hold more water than air outdoors ever does.</summary>
        public bool TooMoist { get; set; }

        public bool IsEmpty => Count + Refused == 0;

        public double Mean => Sum / Count;

        public void Begin(long number)
        {
            (Number, Count, Refused, Sum, TooMoist) = (number, 0, 0, 0, false);
            (Min, RefusedMin) = (double.PositiveInfinity, double.PositiveInfinity);
            (Max, RefusedMax) = (double.NegativeInfinity, double.NegativeInfinity);
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void Add(double value)
        {
            Count++;
            Sum += value;
            // Without branches: nobody can foretell which reading is the lowest yet. A reading is finite.
            Min = double.MinNative(Min, value);
            Max = double.MaxNative(Max, value);
        }

        /// <summary>The same of several; NaN: there is none.</summary>
        public void Add(ReadOnlySpan<double> values)
        {
            var (count, sum, min, max) = (Count, Sum, Min, Max);
            foreach (var value in values)
            {
                if (double.IsNaN(value))
                    continue;
                count++;
                sum += value;
                min = double.MinNative(min, value);
                max = double.MaxNative(max, value);
            }

            (Count, Sum, Min, Max) = (count, sum, min, max);
        }

        public void Refuse(double value)
        {
            Refused++;
            RefusedMin = Math.Min(RefusedMin, value);
            RefusedMax = Math.Max(RefusedMax, value);
        }
    }
}
