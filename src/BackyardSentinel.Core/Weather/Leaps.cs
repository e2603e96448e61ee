using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>Which values of a series count, where single ones leap further than weather does.</summary>
public static class Leaps
{
    /// <summary>The readings that count, as they did when they came; a leap counts once the next value agrees with it.</summary>
    /// <param name="quantity">What they measure.</param>
    /// <param name="readings">Readings of one series in the order of their times.</param>
    /// <param name="of">The time, UTC ticks, and the value of one, in the quantity's unit.</param>
    public static IEnumerable<T> Without<T>(Quantity quantity, IEnumerable<T> readings, Func<T, (long Ticks, double Value)> of)
    {
        var gate = new LeapGate(quantity);
        (long Ticks, double Value)? last = null;
        foreach (var reading in readings)
        {
            var (ticks, value) = of(reading);
            if (last is { } before && !gate.Takes(before.Ticks, before.Value, ticks, value))
                continue;
            last = (ticks, value);
            yield return reading;
        }
    }
}
