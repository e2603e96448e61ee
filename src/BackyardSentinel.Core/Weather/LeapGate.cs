using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// Keeps single values out that lie further from the one before than weather goes in half an hour. A second value that agrees
/// with such a one shows that the leap was real, as when a sensor is moved; it is taken, and what follows it.
/// </summary>
internal struct LeapGate
{
    /// <summary>
    /// Temperature may leap by so much, K (ASSUMED; the widest leap on record is 27 K in two minutes, at Spearfish, 22 January 1943,
    /// from memory, and gardens see a third of it).
    /// </summary>
    public const double TemperatureK = 20;

    /// <summary>Humidity may leap by so much, percentage points (ASSUMED: a shower after dry air takes it up by 50).</summary>
    public const double HumidityPct = 60;

    private static readonly long Within = 30 * TimeSpan.TicksPerMinute;

    private readonly double _limit;
    private double _doubtfulValue;
    private long _doubtfulTime;

    /// <summary>Makes the gate of a series; anything passes that of a quantity whose leaps are weather.</summary>
    public LeapGate(Quantity quantity) =>
        (_limit, _doubtfulTime) = (
            quantity switch
            {
                Quantity.Temperature => TemperatureK,
                Quantity.Humidity => HumidityPct,
                _ => double.PositiveInfinity,
            },
            long.MinValue / 2);

    /// <summary>Whether the next value is taken.</summary>
    /// <param name="lastTime">The time of the last value taken, UTC ticks.</param>
    /// <param name="lastValue">The last value taken.</param>
    /// <param name="time">The next value's time, UTC ticks.</param>
    /// <param name="value">The next value.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool Takes(long lastTime, double lastValue, long time, double value) =>
        Math.Abs(value - lastValue) <= _limit || TakesLeap(lastTime, time, value);

    /// <summary>The next value is taken, whatever the times.</summary>
    public readonly bool IsNear(double lastValue, double value) => Math.Abs(value - lastValue) <= _limit;

    private bool TakesLeap(long lastTime, long time, double value)
    {
        if (
            Math.Abs(time - lastTime) > Within
            || (Math.Abs(time - _doubtfulTime) <= Within && Math.Abs(value - _doubtfulValue) <= _limit))
            return true;
        (_doubtfulTime, _doubtfulValue) = (time, value);
        return false;
    }
}
