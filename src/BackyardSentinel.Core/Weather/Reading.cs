using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>One measured value with its time, in the unit of its <see cref="Quantity"/>.</summary>
/// <param name="Quantity">What was measured.</param>
/// <param name="Time">The moment of the reading, or the start of the time it describes. UTC.</param>
/// <param name="Value">The value in the quantity's unit. Finite.</param>
/// <param name="Period">
/// How long the value describes from <paramref name="Time"/> on, as in a log whose rows are means or sums of an
/// hour. Zero for a momentary reading: a level then holds until the next one, an amount counts at its stamp.
/// </param>
/// <param name="Rank">
/// The place of its series in the garden file's order of preference among series of the same quantity; 0 is first.
/// </param>
public readonly record struct Reading(
    Quantity Quantity, DateTimeOffset Time, double Value, TimeSpan Period = default, int Rank = 0);
