namespace BackyardSentinel.Configuration;

/// <summary>The units a sensor may report in.</summary>
public enum SeriesUnit
{
    /// <summary>Degrees Celsius.</summary>
    Celsius,

    /// <summary>Degrees Fahrenheit.</summary>
    Fahrenheit,

    /// <summary>Kelvin.</summary>
    Kelvin,

    /// <summary>Percent.</summary>
    Percent,

    /// <summary>Zero to one.</summary>
    Fraction,

    /// <summary>Millimetres.</summary>
    Millimetre,

    /// <summary>Inches.</summary>
    Inch,

    /// <summary>Metres per second.</summary>
    MetrePerSecond,

    /// <summary>Kilometres per hour.</summary>
    KilometrePerHour,

    /// <summary>Miles per hour.</summary>
    MilePerHour,

    /// <summary>Knots.</summary>
    Knot,

    /// <summary>Counts of the sensor's converter.</summary>
    Count,

    /// <summary>Millivolts.</summary>
    Millivolt,

    /// <summary>The sensor's own scale, whatever it is.</summary>
    Raw,
}
