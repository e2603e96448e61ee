using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>One measured value with its time, in the unit of its <see cref="Quantity"/>.</summary>
public readonly record struct Reading
{
    // Half as large as with a DateTimeOffset: seasons of millions of readings are copied about.
    private readonly long _ticks;

    /// <summary>Makes a reading.</summary>
    /// <param name="quantity">What was measured.</param>
    /// <param name="time">The moment of the reading, or the start of the time it describes.</param>
    /// <param name="value">The value in the quantity's unit. Finite.</param>
    /// <param name="period">How long the value describes from <paramref name="time"/> on; zero for a momentary reading.</param>
    /// <param name="rank">The place of its series among those of the quantity; 0 is first.</param>
    public Reading(Quantity quantity, DateTimeOffset time, double value, TimeSpan period = default, int rank = 0) =>
        (Quantity, _ticks, Value, Period, Rank) = (quantity, time.UtcTicks, value, period, rank);

    /// <summary>What was measured.</summary>
    public Quantity Quantity { get; init; }

    /// <summary>
    /// The place of its series in the garden file's order of preference among series of the same quantity; 0 is first.
    /// </summary>
    public int Rank { get; init; }

    /// <summary>The moment of the reading, or the start of the time it describes. UTC.</summary>
    public DateTimeOffset Time
    {
        get => new(_ticks, TimeSpan.Zero);
        init => _ticks = value.UtcTicks;
    }

    /// <summary>The same moment, UTC ticks.</summary>
    internal long Ticks => _ticks;

    /// <summary>The value in the quantity's unit. Finite.</summary>
    public double Value { get; init; }

    /// <summary>
    /// How long the value describes from <see cref="Time"/> on, as in a log whose rows are means or sums of an
    /// hour. Zero for a momentary reading: a level then holds until the next one, an amount counts at its stamp.
    /// </summary>
    public TimeSpan Period { get; init; }
}
