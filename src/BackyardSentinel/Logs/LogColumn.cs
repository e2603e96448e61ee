using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Logs;

/// <summary>A column of a log that holds a quantity.</summary>
/// <param name="Quantity">The quantity.</param>
/// <param name="Place">Where it stands in the rows, from 0.</param>
/// <param name="Unit">Its unit; <c>null</c>: that of reckoning, and nothing is to be converted.</param>
public readonly record struct LogColumn(Quantity Quantity, int Place, Unit? Unit)
{
    // + 0.0 turns a negative zero into zero, as a conversion does.
    /// <summary>A value of it in the unit of reckoning.</summary>
    internal double Reckoned(double value) => Unit is null ? value + 0.0 : Unit.ToReckoned(value);
}
