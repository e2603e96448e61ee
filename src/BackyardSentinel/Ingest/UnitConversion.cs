namespace BackyardSentinel.Ingest;

/// <summary>Brings a value from the unit it came in to the one unit of its quantity.</summary>
internal static class UnitConversion
{
    /// <summary>The value in °C, %, mm or m/s; <see cref="Unit"/> names each formula.</summary>
    public static double ToCanonical(this Unit unit, double value)
    {
        var converted = unit switch
        {
            Unit.Fahrenheit => (value - 32) * 5 / 9,
            Unit.Kelvin => value - 273.15,
            Unit.Fraction => value * 100,
            Unit.Inch => value * 25.4,
            Unit.KilometrePerHour => value / 3.6,
            Unit.MilePerHour => value * 0.44704,
            Unit.Knot => value * 1852 / 3600,
            _ => value,
        };
        return converted + 0.0; // + 0.0 turns a negative zero into zero, as the store does
    }
}
