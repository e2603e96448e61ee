using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Weather;

/// <summary>Measured values in the grower's units.</summary>
public static class MeasuredValue
{
    /// <summary>A measured value with its unit; leaf wetness has none but its sensor's own.</summary>
    /// <param name="units">The grower's units.</param>
    /// <param name="quantity">What was measured.</param>
    /// <param name="value">°C, %, mm, m/s or the sensor's own scale.</param>
    public static string Value(this UnitSystem units, Quantity quantity, double value)
    {
        ArgumentNullException.ThrowIfNull(units);
        return quantity.Facts().Dimension switch
        {
            Dimension.Temperature => units.Temperature(value),
            Dimension.Share => UnitSystem.Share(value),
            Dimension.Depth => units.Rain(value),
            Dimension.Speed => units.Wind(value),
            _ => UnitSystem.Raw(value),
        };
    }

    /// <summary>
    /// What a sensor said, as it is told where the value itself is in doubt: in metric units the bare figure, so that it can be
    /// found again among what the sensor sends; in others with the unit into which it was turned.
    /// </summary>
    /// <param name="units">The grower's units.</param>
    /// <param name="quantity">What was measured.</param>
    /// <param name="value">°C, %, mm, m/s or the sensor's own scale.</param>
    public static string Said(this UnitSystem units, Quantity quantity, double value)
    {
        ArgumentNullException.ThrowIfNull(units);
        var unit = units.UnitOf(quantity.Facts().Dimension);
        return unit.IsCustomary
            ? $"{UnitHint.Figure(Math.Round(unit.FromReckoned(value), 3))} {unit.Symbol}"
            : UnitHint.Figure(value);
    }
}
