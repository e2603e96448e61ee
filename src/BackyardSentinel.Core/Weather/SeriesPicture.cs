using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>What one series has said in the last 24 clock hours, an hour a bin, and its last amounts of rain.</summary>
internal sealed class SeriesPicture(Quantity quantity, int rank)
{
    public const int Hours = 24;

    /// <summary>So many amounts of rain are looked at.</summary>
    public const int AmountsKept = 12;

    private readonly Hour[] bins = new Hour[Hours];

    public Quantity Quantity => quantity;

    public int Rank => rank;

    /// <summary>The latest clock hour of which something came, counted from the beginning of time.</summary>
    public long Latest { get; private set; } = long.MinValue;

    /// <summary>The last amounts above 0, oldest first.</summary>
    public List<double> Amounts { get; } = [];

    /// <summary>The doubt that stands, with the hour in which it was last confirmed.</summary>
    public (SeriesDoubt Doubt, long Confirmed)? Standing { get; set; }

    /// <summary>The bin of an hour; one that is long past is lost.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ref Hour At(long hour)
    {
        ref var bin = ref bins[hour % Hours];
        if (bin.Number < hour)
            bin = new Hour(hour);
        if (hour > Latest)
            Latest = hour;
        return ref bin;
    }

    /// <summary>The hour, if something came of it.</summary>
    public Hour? Of(long hour) => bins[hour % Hours] is { IsEmpty: false } bin && bin.Number == hour ? bin : null;

    /// <summary>The hours of which something came among the 24 that end with the latest.</summary>
    public IEnumerable<Hour> Day()
    {
        for (var hour = Latest - Hours + 1; hour <= Latest; hour++)
        {
            if (hour >= 0 && Of(hour) is { } bin)
                yield return bin;
        }
    }

    /// <summary>One clock hour.</summary>
    public struct Hour(long number)
    {
        public long Number { get; } = number;

        public int Count;
        public int Refused;
        public double Min = double.PositiveInfinity, Max = double.NegativeInfinity, Sum;
        public double RefusedMin = double.PositiveInfinity, RefusedMax = double.NegativeInfinity;

        /// <summary>With the humidity of that time the air would hold more water than air outdoors ever does.</summary>
        public bool TooMoist;

        public readonly bool IsEmpty => Count + Refused == 0;

        public readonly double Mean => Sum / Count;

        public void Add(double value)
        {
            Count++;
            Sum += value;
            Min = Math.Min(Min, value);
            Max = Math.Max(Max, value);
        }

        public void Refuse(double value)
        {
            Refused++;
            RefusedMin = Math.Min(RefusedMin, value);
            RefusedMax = Math.Max(RefusedMax, value);
        }
    }
}
