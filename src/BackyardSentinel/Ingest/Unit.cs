namespace BackyardSentinel.Ingest;

/// <summary>The unit a sensor speaks in. Conversion to the one unit of each quantity happens here and nowhere else.</summary>
public enum Unit
{
    /// <summary>Already in the quantity's own unit, or a raw count.</summary>
    AsIs,

    /// <summary>Degrees Fahrenheit; becomes °C by (x − 32) × 5 / 9.</summary>
    Fahrenheit,

    /// <summary>Kelvin; becomes °C by x − 273.15.</summary>
    Kelvin,

    /// <summary>A share 0–1; becomes % by × 100.</summary>
    Fraction,

    /// <summary>Inches of rain; become mm by × 25.4 (exact by definition).</summary>
    Inch,

    /// <summary>Kilometres per hour; become m/s by ÷ 3.6.</summary>
    KilometrePerHour,

    /// <summary>Statute miles per hour; become m/s by × 0.44704 (exact by definition).</summary>
    MilePerHour,

    /// <summary>Knots; become m/s by × 1852 / 3600 (exact by definition).</summary>
    Knot,
}
